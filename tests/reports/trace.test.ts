import { describe, expect, test } from 'vitest';
import { needRows, scoreOf } from '../../src/plan/cover.ts';
import type { Score } from '../../src/plan/plan.ts';
import { answer, isThere } from '../../src/reports/answers.ts';
import type { CellRef, Question, Trace } from '../../src/reports/trace.ts';
import { known, twoDays } from '../grid/known.ts';

const all = known(twoDays());
const { scenario, problem, demand, activities, covered } = all;

/** Every leaf below a trace. */
const leaves = (trace: Trace): Trace[] => {
  const parts = trace.parts();
  return parts.length ? parts.flatMap(leaves) : [trace];
};
/** What stands in a typed cell, or undefined. */
const typedIn = ({ sheet, row, field }: CellRef): unknown => {
  const rows = sheet === 'rules' ? [scenario.rules] : scenario[sheet];
  return field
    .split('.')
    .reduce<unknown>((value, key) => (value as Record<string, unknown> | undefined)?.[key], rows?.[row]);
};

describe('trace', () => {
  test('bags of a bath in a round: every number down to typed cells, and each sum adds up', () => {
    let bags = 0;
    problem.rounds.forEach(({ index: round }) => {
      problem.baths.forEach((_, bath) => {
        const trace = answer(all, { of: 'bags', bath, round });
        expect(trace.value).toBe(demand.bags[bath]![round]!);
        bags += trace.value;
        for (const patient of trace.parts()) expect(patient.parts()).toHaveLength(patient.value);
        for (const leaf of leaves(trace)) {
          if (trace.value === 0) continue;
          expect(leaf.cell, leaf.label).not.toBeNull();
          if (!leaf.cell!.isDefault) expect(typedIn(leaf.cell!), leaf.label).toBe(leaf.value);
          else expect(typedIn(leaf.cell!)).toBeUndefined();
        }
      });
    });
    expect(bags).toBe(demand.hangs.flat().length);
  });

  test('a rate is the flow while therapy runs, over the day; each is the formula of its cells', () => {
    for (const [patient, minute] of [
      [0, 0],
      [1, 0],
      [1, 1300],
      [2, 0],
    ] as const) {
      const trace = answer(all, { of: 'rate', patient, minute });
      const [flow, hours] = trace.parts();
      const [dose, weight, removal, replacement] = flow!.parts().map(({ value }) => value);
      expect(flow!.value).toBeCloseTo(dose! * weight! - removal! - replacement!, 9);
      expect(trace.value).toBeCloseTo((flow!.value * hours!.value) / 24, 9);
    }
    // 25 mL/kg/h x 80 kg = 2,000 mL/h effluent; 100 and 50 of it are not dialysate.
    expect(answer(all, { of: 'rate', patient: 0, minute: 0 }).value).toBe(1850);
    expect(answer(all, { of: 'rate', patient: 0, minute: 0 }).filled).toBe(
      '1,850 mL/h x 24 h / 24 h = 1,850 mL/h',
    );
    expect(answer(all, { of: 'rate', patient: 0, minute: 0 }).parts()[0]!.filled).toBe(
      '25 mL/kg/h x 80 kg - 100 mL/h - 50 mL/h = 1,850 mL/h',
    );
  });

  test('a rate says the citrate that counts, and what a dose means', () => {
    const bed = { id: 'x', weight: 76, dose: 25, bath: '2K', citrateFlow: 300, anticoagulation: 'citrate' };
    const flowOf = (patient: object, rules = {}) =>
      answer(known(twoDays({ patients: [{ ...bed, ...patient }], rules })), {
        of: 'rate',
        patient: 0,
        minute: 0,
      }).parts()[0]!;
    expect(flowOf({}).filled).toBe('25 mL/kg/h x 76 kg - 0 mL/h - 0 mL/h - 300 mL/h = 1,600 mL/h');
    expect(flowOf({}).formula).toContain('- citrate flow, at least 0');
    expect(flowOf({ anticoagulation: 'heparin' }).filled).toBe(
      '25 mL/kg/h x 76 kg - 0 mL/h - 0 mL/h = 1,900 mL/h',
    );
    const dosed = flowOf({ fluidRemoval: 100 }, { doseMeans: 'dialysate' });
    expect(dosed.filled).toBe('25 mL/kg/h x 76 kg = 1,900 mL/h');
    expect(dosed.formula).toContain('a dose means dialysate');
    expect(dosed.parts()[0]!.label).toBe('Dialysate dose (prescribed)');
  });

  test('a published example: 100 kg at 20 mL/kg/h for 24 h are 48 L (CJASN 2023;18(2):256-269, Table 2, footnote c)', () => {
    const alone = known(twoDays({ patients: [{ id: 'x', weight: 100, dose: 20, bath: '2K' }] }));
    expect(answer(alone, { of: 'rate', patient: 0, minute: 0 }).value * 24).toBe(48_000);
  });

  test('why a bag hangs: start, change of bath, run through, hang limit', () => {
    const why = (patient: number, hang: number) => answer(all, { of: 'hang', patient, hang }).formula;
    expect(why(0, 0)).toMatch(/^the first bag hangs/);
    expect(why(0, 1)).toMatch(/^the previous bag has run through/);
    const change = demand.hangs[1]!.findIndex(({ bath }) => bath === 1);
    expect(why(1, change)).toMatch(/^at a new bath/);
    // 275 mL/h need 23 h 38 min for 6.5 L: run through. At 5 x 50 = 250 mL/h it takes 26 h: discarded after 24.
    expect(why(2, 1)).toMatch(/^the previous bag has run through/);
    const slow = known(twoDays({ patients: [{ id: 'x', weight: 50, dose: 5, bath: '2K' }] }));
    expect(answer(slow, { of: 'hang', patient: 0, hang: 1 }).formula).toMatch(/^a hung bag is discarded/);
  });

  test('each part of the score, and what stays unmet, as the plan says', () => {
    const score = scoreOf(problem, activities, covered);
    for (const part of Object.keys(score) as (keyof Score)[])
      expect(answer(all, { of: 'score', part }).value, part).toBeCloseTo(score[part], 9);
    expect(score.unmetLitres).toBeGreaterThan(0);
    for (const { bath, round, unmetLitres } of needRows(problem, demand, covered)) {
      const trace = answer(all, { of: 'unmet', bath: problem.baths.indexOf(bath), round });
      const [need, ...served] = trace.parts();
      expect(trace.value).toBeCloseTo(unmetLitres, 9);
      expect(need!.value - served.reduce((sum, { value }) => sum + value, 0)).toBeCloseTo(unmetLitres, 9);
    }
  });

  test('the fill window: 8 bags at 800 mL/min, 65 to 75 min (common practice, no source)', () => {
    expect(answer(all, { of: 'shortest', machine: 0 }).value).toBe(65);
    expect(answer(all, { of: 'longest', machine: 0 }).value).toBe(75);
    expect(answer(all, { of: 'shortest', machine: 0 }).filled).toBe(
      '1,000 x 8 x 6.5 L / 800 mL/min = 65, so 65 min',
    );
  });

  test('lots, supplies, water and technicians come from typed cells', () => {
    const fill = covered.lots.findIndex(({ origin }) => origin === 'fill');
    const questions = [
      { of: 'lot', lot: 0 },
      { of: 'lot', lot: fill },
      { of: 'supply', supply: 1, minute: problem.horizon - 1 },
      { of: 'supply', supply: 2, minute: problem.horizon - 1 },
      { of: 'staff', minute: 60 },
    ] as const;
    for (const question of questions)
      for (const leaf of leaves(answer(all, question)))
        if (!leaf.cell!.isDefault) expect(typedIn(leaf.cell!), leaf.label).toBe(leaf.value);
    const circuit = activities.find(({ kind }) => kind === 'circuit')!;
    expect(answer(all, { of: 'water', source: 0, minute: circuit.start }).value).toBe(800);
    expect(answer(all, { of: 'load', minute: circuit.start }).value).toBe(1);
    expect(answer(all, { of: 'staff', minute: 60 }).value).toBe(1);
  });

  test('what is left of a supply: on hand + delivered - used', () => {
    const fills = activities.filter(({ kind }) => kind === 'fill').length;
    expect(answer(all, { of: 'supply', supply: 1, minute: problem.horizon - 1 }).value).toBe(
      5 + 6 - 2 * fills,
    );
  });

  test('what is asked about is there, or gone with its row; what is there has an answer', () => {
    const last: readonly Question[] = [
      { of: 'bags', bath: 1, round: problem.rounds.length - 1 },
      { of: 'litres', bath: 1, round: problem.rounds.length - 1 },
      { of: 'unmet', bath: 1, round: problem.rounds.length - 1 },
      { of: 'dayBags', bath: 1, day: 1 },
      { of: 'rate', patient: 3, minute: 0 },
      { of: 'hang', patient: 3, hang: demand.hangs[3]!.length - 1 },
      { of: 'shortest', machine: 0 },
      { of: 'longest', machine: 0 },
      { of: 'lot', lot: covered.lots.length - 1 },
      { of: 'water', source: 0, minute: 0 },
      { of: 'supply', supply: 2, minute: 0 },
    ];
    for (const question of last) {
      expect(isThere(all, question), question.of).toBe(true);
      expect(answer(all, question).label).not.toBe('');
      const key = Object.keys(question).findLast((name) => name !== 'of' && name !== 'minute')!;
      const next = { ...question, [key]: (question as unknown as Record<string, number>)[key]! + 1 };
      expect(isThere(all, next as Question), `${question.of}, one further`).toBe(false);
    }
    expect(isThere(all, { of: 'hang', patient: 4, hang: 0 })).toBe(false);
  });
});
