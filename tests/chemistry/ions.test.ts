import { describe, expect, test } from 'vitest';
import { concentrateFor, dilutedTo, mostPotassium, PROPORTIONS } from '../../src/chemistry/concentrate.ts';
import {
  chargeGap,
  compositionOf,
  glucoseMgPerDecilitre,
  glucoseMmol,
  mEqOf,
  mmolOf,
  osmolarity,
} from '../../src/chemistry/ions.ts';
import { toNumber } from '../../src/exact/fraction.ts';
import { dialysateRate } from '../../src/scenario/problem/course.ts';

const BATH = {
  id: '2K',
  sodium: 140,
  potassium: 2,
  calcium: 2.5,
  magnesium: 1,
  chloride: 108,
  bicarbonate: 32,
  acetate: 4,
};
const gapOf = (bath: object) => chargeGap(compositionOf({ id: 'x', ...bath }).composition);

describe('charge, osmolarity, units', () => {
  // Arithmetic: cations 145.5, anions 144.0 mEq/L.
  test('charge of the bath of the worked example is out by +1.5 mEq/L, and 109.5 of chloride balances it', () => {
    expect(gapOf(BATH)).toBeCloseTo(1.5, 9);
    expect(gapOf({ ...BATH, chloride: 109.5 })).toBeCloseTo(0, 9);
  });
  // GPnotebook, composition of dialysate fluid (mmol/L; calcium 1.25 and magnesium 0.5 are 2.5 and 1 mEq/L).
  test('a listed composition is out by the acetate that it does not list, +3.0', () => {
    const listed = {
      sodium: 140,
      potassium: 1,
      calcium: 2.5,
      magnesium: 1,
      chloride: 107.5,
      bicarbonate: 34,
    };
    expect(gapOf(listed)).toBeCloseTo(3, 9);
    expect(gapOf({ ...listed, acetate: 3 })).toBeCloseTo(0, 9);
    expect(compositionOf({ id: 'x', ...listed }).missing).toEqual(['acetate']);
  });
  // BMC Nephrol 2023;24, 10.1186/s12882-023-03260-9, Table 1: measured after 24 and 48 h.
  test('measured dialysate is out by +1.8 and +3.8 mEq/L', () => {
    const day = { sodium: 140, potassium: 2.3, calcium: 2.5, magnesium: 1, chloride: 110, bicarbonate: 34 };
    expect(gapOf(day)).toBeCloseTo(1.8, 9);
    expect(gapOf({ ...day, sodium: 141, bicarbonate: 33 })).toBeCloseTo(3.8, 9);
  });
  // Arithmetic: 140 + 2 + 1.25 + 0.5 + 108 + 32 + 4 + 5.55.
  test('osmolarity counts each particle once: 293.3 mOsm/L', () => {
    expect(osmolarity(compositionOf(BATH).composition, 5.55)).toBeCloseTo(293.3, 9);
  });
  // BMC Nephrol 2023 (as above), footnote 2.
  test('units by ion', () => {
    expect(mEqOf('calcium', 1.25)).toBe(2.5);
    expect(mmolOf('magnesium', 1)).toBe(0.5);
    expect(mEqOf('sodium', 140)).toBe(140);
    expect(glucoseMmol(100)).toBeCloseTo(5.551, 9);
    expect(glucoseMmol(110)).toBeCloseTo(6.106, 3);
    expect(glucoseMgPerDecilitre(5.551)).toBeCloseTo(100, 9);
  });
});

describe('volume', () => {
  // Arithmetic: 80 kg x 25 mL/kg/h - 100 mL/h = 1,900 mL/h.
  test('80 kg at 25 mL/kg/h less 100 mL/h are 45.6 L a day, 7.02 bags of 6.5 L', () => {
    const row = { dose: 25, weight: 80, fluidRemoval: 100, replacement: 0, hoursPerDay: 24 };
    const litres = (1440 * toNumber(dialysateRate(row))) / 1000;
    expect(litres).toBeCloseTo(45.6, 9);
    expect(litres / 6.5).toBeCloseTo(7.02, 2);
  });
});

describe('concentrates', () => {
  // 35X: a training page on proportioning, 1 : 1.225 : 32.775 (sum 35); 36.83X and 45X from memory (ISO 23500-4).
  test.each([
    ['35X', 185.7, 227.5],
    ['36.83X', 176.5, 323.0],
  ] as const)('a 6.5 L bag of %s takes %d and %d mL', (kind, acid, bicarbonate) => {
    const taken = concentrateFor(6.5, PROPORTIONS[kind]);
    expect(Math.abs(1000 * taken.acid - acid)).toBeLessThan(0.1);
    expect(Math.abs(1000 * taken.bicarbonate - bicarbonate)).toBeLessThan(0.1);
    expect(taken.acid + taken.bicarbonate + taken.water).toBeCloseTo(6.5, 9);
  });
  // ISO 23500-4 (from memory) names a kind by the parts that one part of acid makes.
  test.each(['35X', '36.83X', '45X'] as const)('the parts of %s come to its number', (kind) => {
    const { acid, bicarbonate, water } = PROPORTIONS[kind];
    expect(acid).toBe(1);
    expect(acid + bicarbonate + water).toBeCloseTo(Number.parseFloat(kind), 9);
  });
  test('48 L of 35X take 1.371, 1.680 and 44.949 L', () => {
    const { acid, bicarbonate, water } = concentrateFor(48, PROPORTIONS['35X']);
    expect([acid, bicarbonate, water].map((litres) => Number(litres.toFixed(3)))).toEqual([
      1.371, 1.68, 44.949,
    ]);
  });
  test('1 litre of 45X with 1.775 parts of bicarbonate takes 22.222 and 39.444 mL', () => {
    const { acid, bicarbonate } = concentrateFor(1, { acid: 1, bicarbonate: 1.775, water: 42.225 });
    expect([1000 * acid, 1000 * bicarbonate].map((ml) => Number(ml.toFixed(3)))).toEqual([22.222, 39.444]);
  });
  // Arithmetic.
  test('an overfilled bag dilutes an additive: 2 mmol/L meant for 6.5 L are 1.73 in 7.5 L', () => {
    expect(dilutedTo(2, 6.5, 7.5)).toBeCloseTo(1.733, 3);
  });
  // Arithmetic: 48 L a day, plasma 5 mmol/L, 100 mL/h of net removal: (5 - 2) x 48 + 12 and (5 - 4) x 48 + 12 ... without it 144, 48.
  test('the most potassium that a bath removes in a day', () => {
    expect(mostPotassium(48, 0, 5, 2)).toBe(144);
    expect(mostPotassium(48, 0, 5, 4)).toBe(48);
    expect(mostPotassium(45.6, 2.4, 5, 2)).toBeCloseTo(148.8, 9);
    expect(mostPotassium(45.6, 2.4, 5, 4)).toBeCloseTo(57.6, 9);
    expect(mostPotassium(48, 0, 5, 6)).toBe(0);
  });
});
