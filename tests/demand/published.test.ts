import { describe, expect, it } from 'vitest';
import { demandOf } from '../../src/demand/demand.ts';
import { multiply, toNumber, whole } from '../../src/exact/fraction.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { dialysateRate } from '../../src/scenario/problem/course.ts';
import type { Patient, Scenario } from '../../src/scenario/schema.ts';
import { at, hung, problemOf, scenarioOf } from './patient.ts';

const DAY = whole(1440);
/** L per elapsed day. */
const litresADay = (row: Partial<Parameters<typeof dialysateRate>[0]>): number =>
  toNumber(
    multiply(
      dialysateRate({ weight: 100, dose: 20, fluidRemoval: 0, replacement: 0, hoursPerDay: 24, ...row }),
      DAY,
    ),
  ) / 1000;

describe('dialysate from a dose, against published figures', () => {
  it('100 kg at 20 mL/kg/h need 48 L in 24 h, 100 mL/min when given in 8 h', () => {
    // "for 100 kg, 20 ml/kg per hour = 48,000 ml in 24 hours ... divide 48,000 ml by 8 hours = 6000 ml/hour = 100 ml/min":
    // CJASN 2023;18(2):256-269, Table 2 footnote c, PMC10103225.
    expect(litresADay({})).toBe(48);
    expect(litresADay({ dose: 60, hoursPerDay: 8 })).toBe(48);
    const inEight = dialysateRate({
      weight: 100,
      dose: 60,
      fluidRemoval: 0,
      replacement: 0,
      hoursPerDay: 24,
    });
    expect(toNumber(inEight)).toBe(100);
  });

  it('fluid removal and replacement are part of the effluent, not of the dialysate', () => {
    // Q_UF = Q_UF^NET + Q_R: Neri 2016, Crit Care 20:318, Table 2; Q_EFF = Q_UF + Q_D (from memory):
    // Q_D 1000, Q_R 800, Q_UF^NET 100 make an effluent of 1900 mL/h.
    expect(litresADay({ weight: 76, dose: 25, fluidRemoval: 100, replacement: 800 })).toBe(24);
  });

  it('citrate before the blood pump is part of the effluent while the bed has citrate', () => {
    // CVVHDF: effluent = pre-filter + post-filter replacement + fluid removal + pre-blood pump fluid + dialysate:
    // handout "CRRT Formulas", Practice Based Learning in CRRT 2019 (scribd.com/document/721754155).
    // 1,000 + 500 + 100 + 300 = 1,900 mL/h = 76 kg x 25 mL/kg/h.
    const row = { weight: 76, dose: 25, fluidRemoval: 100, replacement: 500 };
    expect(litresADay({ ...row, citrate: 300 })).toBe(24);
    const bed = { ...row, citrateFlow: 300, anticoagulation: 'citrate' };
    const rates = (patient: Partial<Patient>, rules: Scenario['rules'] = {}) =>
      problemOf(patient, { rules }).patients[0]!.steps.map(({ rate }) => toNumber(multiply(rate, whole(60))));
    expect(rates(bed)).toEqual([1000]);
    // Without citrate no citrate runs, and what counts is typed: the dialysate makes up for it.
    expect(rates({ ...bed, anticoagulation: 'heparin' })).toEqual([1300]);
    expect(rates({ ...bed, anticoagulation: undefined })).toEqual([1300]);
    const changes = [
      { at: at(60), anticoagulation: 'none' },
      { at: at(120), anticoagulation: 'citrate', citrateFlow: 200 },
    ];
    expect(rates({ ...bed, changes })).toEqual([1000, 1300, 1100]);
    expect(rates({ ...bed, hoursPerDay: 18 })).toEqual([750]);
  });

  it('where a dose means dialysate, the other flows come on top', () => {
    const row = { weight: 76, dose: 25, fluidRemoval: 100, replacement: 500, citrate: 300, hoursPerDay: 24 };
    // 76 kg x 25 mL/kg/h = 1,900 mL/h = 45.6 L a day.
    expect(toNumber(multiply(dialysateRate(row, 'dialysate'), DAY))).toBe(45_600);
    const bed = { weight: 76, dose: 25, fluidRemoval: 5000 };
    const bags = (rules: Scenario['rules']) => hung(bed, { days: 1, rules }).length;
    // 45.6 L / 6.5 L = 7.02: the eighth bag is opened.
    expect([bags({}), bags({ doseMeans: 'effluent' }), bags({ doseMeans: 'dialysate' })]).toEqual([0, 0, 8]);
  });

  it('2 L/h for 16.1 h a day is a mean flow of 1.36 L/h', () => {
    // Venkataraman and Kellum 2001, Crit Care 5(Suppl):P216, DOI 10.1186/cc1283: 16.1 h a day, usually 2 L/h, mean 1.36 L/h.
    const mean = litresADay({ hoursPerDay: 16.1 }) / 24;
    expect(Math.abs(mean / 1.36 - 1)).toBeLessThan(0.02);
  });

  it('2 L/h with 3 h of downtime a day are 42 L a day', () => {
    // Median downtime 3 h a day at 2 L/h: Uchino 2003, Intensive Care Med 29(4):575-578 (authors from memory).
    expect(litresADay({ hoursPerDay: 21 })).toBe(42);
    expect(litresADay({ hoursPerDay: 21 }) / litresADay({})).toBe(0.875);
  });

  it('8.1 % of the time lost leaves 91.9 % of the dose', () => {
    // Median treatment-time loss 8.1 %: PMC11686856. 24 h x 0.919 = 22.056 h.
    expect(litresADay({ hoursPerDay: 22.056 }) / litresADay({})).toBeCloseTo(0.919, 12);
  });

  it('46.4 L in 1413 min a day is 1.97 L/h', () => {
    // Claure-Del Granado 2011, CJASN 6(3):467-475, PMC3082402: 46.4 L a day in a median of 1413 min.
    const litres = litresADay({ weight: 98.5, dose: 20, hoursPerDay: 23.55 });
    expect(Math.abs(litres - 46.4)).toBeLessThan(0.05);
  });

  it('48 L a day in 3, 4 and 5 L bags are 16, 12 and 10 bags', () => {
    // Derived from the 48 L above: 48/3 must not become 17 by rounding.
    const bags = (fillLitres: number) => hung({ dose: 20 }, { days: 1, rules: { fillLitres } }).length;
    expect([bags(3), bags(4), bags(5)]).toEqual([16, 12, 10]);
  });

  it('decimals are exact as written: 5.4 L in 0.3 L bags are 18 bags', () => {
    // 5.4 / 0.3 is 18.000000000000004 in floating point, which would be a bag too many.
    expect(
      hung({ weight: 75, dose: 3 }, { days: 1, rules: { fillLitres: 0.3, maxHangHours: 24 } }),
    ).toHaveLength(18);
  });
});

describe('the fill window', () => {
  const window = (flow: number, positions: number, rules = {}) => {
    const scenario = scenarioOf({}, { rules });
    scenario.water = [{ id: 'RO', capacity: 5000, testEvery: 240, testMinutes: 10 }];
    scenario.machines = [{ id: 'M1', flow, positions, water: 'RO' }];
    const { shortest, longest } = compile(scenario).machines[0]!;
    return [shortest, longest];
  };

  it('8 bags of 6.5 L at 800 mL/min take 65 min, and reach 7.5 L at 75 min', () => {
    // Common practice, no source.
    expect(window(800, 8)).toEqual([65, 75]);
  });

  it('rounds up to full, down to too full', () => {
    // 8 x 6.5 / 0.5 = 104, 8 x 7.5 / 0.5 = 120; 8 x 6.5 / 0.7 = 74.3, 8 x 7.5 / 0.7 = 85.7.
    expect(window(500, 8)).toEqual([104, 120]);
    expect(window(700, 8)).toEqual([75, 85]);
    // 6 x 5.4 L at 600 mL/min are exactly 54 min, in floating point 54.00000000000001.
    expect(window(600, 6, { fillLitres: 5.4, maxLitres: 5.4 })).toEqual([54, 54]);
  });
});

describe('supplies by the litre', () => {
  it('count concentrate at 1 part in 45: 22.222 mL of acid a litre', () => {
    // 1 acid + 1.775 bicarbonate + 42.225 water: training page "Proportioning of the Dialysis Solution".
    const scenario = scenarioOf();
    scenario.water = [{ id: 'RO', capacity: 5000, testEvery: 240, testMinutes: 10 }];
    scenario.machines = [{ id: 'M1', flow: 800, positions: 8, water: 'RO' }];
    scenario.supplies = [{ item: 'acid', onHand: 90, perLitre: 0.022222 }];
    const [acid] = compile(scenario).supplies;
    // 800 mL/min for 65 min are 52 L, so 52 x 22.222 mL = 1.1555 L.
    expect((acid!.perMinute[0]! * 65) / acid!.scale).toBeCloseTo(1.155544, 9);
    expect((45 * 1000 * acid!.perMinute[0]!) / (800 * acid!.scale)).toBeCloseTo(1, 4);
    expect(acid!.onHand / acid!.scale).toBe(90);
  });
});

describe('bags and litres', () => {
  it('a need is its bags times the litres of a bag', () => {
    const problem = compile(scenarioOf({ dose: 20 }, { days: 1 }));
    const bags = demandOf(problem).bags[0]!.reduce((sum, count) => sum + count, 0);
    // 48 L / 6.5 L = 7.4: the eighth bag is opened.
    expect(bags).toBe(8);
    expect((bags * problem.bagParts) / problem.partsPerLitre).toBe(52);
  });
});
