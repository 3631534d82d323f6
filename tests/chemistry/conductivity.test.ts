import { describe, expect, test } from 'vitest';
import { conductivityOf, expectedConductivity, indistinguishable } from '../../src/chemistry/conductivity.ts';
import type { Composition } from '../../src/chemistry/ions.ts';

const NONE: Composition = {
  sodium: 0,
  potassium: 0,
  calcium: 0,
  magnesium: 0,
  chloride: 0,
  bicarbonate: 0,
  acetate: 0,
};
const BATH_2K = {
  id: '2K',
  sodium: 140,
  potassium: 2,
  calcium: 2.5,
  magnesium: 1,
  chloride: 108,
  bicarbonate: 32,
  acetate: 4,
  glucose: 100,
};
const BATH_4K = { ...BATH_2K, id: '4K', potassium: 4, chloride: 110 };

describe('expected conductivity', () => {
  // Robinson and Stokes, Electrolyte Solutions, 1959 (constants from memory); the sums were worked out twice apart from this code.
  test('of the bath of the worked example: 13.916 mS/cm at 25 C and 17.338 at 37 C', () => {
    expect(expectedConductivity(BATH_2K, 25)).toBeCloseTo(13.916, 2);
    expect(Math.abs(expectedConductivity(BATH_2K, 25)! - 13.916)).toBeLessThan(0.005);
    expect(Math.abs(expectedConductivity(BATH_2K, 37)! - 17.338)).toBeLessThan(0.005);
  });
  // Measured, CRC Handbook (from memory): KCl 0.1 M 12.90, NaCl 0.1 M 10.67 mS/cm at 25 C; the law is within 0.4 %.
  test('of KCl and NaCl 0.1 M is within 0.4 % of what is measured', () => {
    expect(conductivityOf({ ...NONE, potassium: 100, chloride: 100 }, 25)).toBeCloseTo(12.861, 2);
    expect(conductivityOf({ ...NONE, sodium: 100, chloride: 100 }, 25)).toBeCloseTo(10.641, 2);
    expect(conductivityOf({ ...NONE, potassium: 100, chloride: 100 }, 25)! / 12.9).toBeCloseTo(1, 2);
    expect(conductivityOf({ ...NONE, sodium: 100, chloride: 100 }, 25)! / 10.67).toBeCloseTo(1, 2);
  });
  // KCl 0.1 mol/kg, mS/cm: CRC Handbook 5-73; Pratt et al. Pure Appl Chem 2001;73:1783.
  test.each([
    [20, 11.6159],
    [30, 14.0592],
    [35, 15.316],
    [40, 16.591],
  ])('the straight line through 25 and 37 C is right within 1 %% at %i C', (temperature, measured) => {
    const kcl = { ...NONE, potassium: 100, chloride: 100 };
    const ratio = conductivityOf(kcl, temperature)! / conductivityOf(kcl, 25)!;
    expect(Math.abs(ratio / (measured / 12.8246) - 1)).toBeLessThan(0.01);
  });
  // ASAIO J 2011;57(1), 10.1097/MAT.0b013e3182078b66: 0.9 mS/cm for 9 mmol/L of sodium, 0.10 each.
  test('rises by about 0.10 mS/cm with each mmol/L of sodium chloride', () => {
    const more = { ...BATH_2K, sodium: 141, chloride: 109 };
    const slope = expectedConductivity(more, 25)! - expectedConductivity(BATH_2K, 25)!;
    expect(Math.abs(slope / 0.1 - 1)).toBeLessThan(0.1);
  });
  test('is not told where it would be a guess', () => {
    expect(expectedConductivity({ id: '2K' }, 25)).toBeNull();
    expect(expectedConductivity({ ...BATH_2K, chloride: undefined }, 25)).toBeNull();
    expect(expectedConductivity(BATH_2K, 10)).toBeNull();
    expect(expectedConductivity(BATH_2K, Number.NaN)).toBeNull();
  });
  test('is told from 15 to 45 C, both of them included', () => {
    const told = [14.9, 15, 45, 45.1].map((at) => expectedConductivity(BATH_2K, at) !== null);
    expect(told).toEqual([false, true, true, false]);
  });
});

describe('what conductivity cannot show', () => {
  test('4 mmol/L of potassium instead of 2 is 1.7 % more: 14.153 mS/cm at 25 C', () => {
    const more = expectedConductivity(BATH_4K, 25)!;
    expect(Math.abs(more - 14.153)).toBeLessThan(0.005);
    expect(more / expectedConductivity(BATH_2K, 25)! - 1).toBeCloseTo(0.017, 3);
  });
  test('names the baths that one reading fits', () => {
    const salt = { ...BATH_2K, id: 'salt', sodium: 160, chloride: 128 };
    expect(indistinguishable([BATH_2K, BATH_4K, salt, { id: 'untyped' }], 25)).toEqual([['2K', '4K']]);
    expect(indistinguishable([BATH_2K, BATH_4K], 25, 0.005)).toEqual([]);
    expect(indistinguishable([BATH_4K, BATH_2K], 25)).toEqual([['4K', '2K']]);
    expect(indistinguishable([salt, BATH_2K], 25)).toEqual([]);
    expect(indistinguishable([BATH_2K, salt], 25)).toEqual([]);
  });
  test('cannot tell two baths of one composition apart, however exact the reading', () => {
    expect(indistinguishable([BATH_2K, { ...BATH_2K, id: 'twin' }], 25, 0)).toEqual([['2K', 'twin']]);
  });
  test('names none where no conductivity is expected: too warm, or a bath that is not typed', () => {
    expect(indistinguishable([BATH_2K, BATH_4K], 50)).toEqual([]);
    expect(indistinguishable([{ id: 'a' }, { id: 'b' }], 25)).toEqual([]);
  });
});
