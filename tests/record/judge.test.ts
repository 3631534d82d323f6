import { describe, expect, test } from 'vitest';
import { judgeReading } from '../../src/record/judge/reading.ts';
import { testPassed } from '../../src/record/judge/test.ts';
import { volumeDoubt } from '../../src/record/judge/volume.ts';
import { limitsOf } from '../../src/record/limits.ts';

const LIMITS = limitsOf({});

describe('limits', () => {
  // 0.1 mg/L: ISO 23500-3:2019, Table 1. The others: common practice, no source.
  test('as they are where the site sets none', () => {
    expect(LIMITS).toMatchObject({
      totalChlorine: 0.1,
      conductivity: 0.05,
      pH: [6.9, 7.6],
      releaseBy: 'time',
    });
  });
  test('as the site sets them, 0 too', () => {
    const rules = { chlorineLimit: 0, conductivityTolerance: 0.03, pHMin: 7, pHMax: 7.4, steadyMinutes: 15 };
    expect(limitsOf({ rules: { ...rules, releaseBy: 'entry' } })).toEqual({
      totalChlorine: 0,
      conductivity: 0.03,
      pH: [7, 7.4],
      releaseBy: 'entry',
      steadyMinutes: 15,
    });
  });
  test('what is no limit leaves the usual one, and of two ways of release the stricter one', () => {
    const limitOf = (chlorineLimit: unknown) =>
      limitsOf({ rules: { chlorineLimit: chlorineLimit as number } }).totalChlorine;
    expect([-1, Number.NaN, Number.POSITIVE_INFINITY, '0.5', null].map(limitOf)).toEqual([
      0.1, 0.1, 0.1, 0.1, 0.1,
    ]);
    expect(limitsOf({ rules: { releaseBy: 'tme' as 'time' } }).releaseBy).toBe('entry');
  });
});

// ISO 23500-3:2019, Table 1: total chlorine at most 0.1 mg/L.
test('a total chlorine test passes when it is said to and shows at most the limit', () => {
  const passes = (result: 'pass' | 'fail', totalChlorine?: number) =>
    testPassed({ result, totalChlorine }, { totalChlorine: 0.1 });
  expect([undefined, 0, 0.1, 0.11].map((shown) => passes('pass', shown))).toEqual([true, true, true, false]);
  expect([undefined, 0, 0.1].map((shown) => passes('fail', shown))).toEqual([false, false, false]);
});

// Arithmetic: 8 bags of 6.5 and 7.5 L at 800 mL/min take 65 and 75 minutes.
describe('bags of a fill', () => {
  const doubt = (litres: number | null, minutes: number) =>
    volumeDoubt({ litres, minutes, shortest: 65, longest: 75, fillLitres: 6.5, maxLitres: 7.5 });
  test('are judged by the minutes, both limits included', () => {
    expect([64, 65, 75, 76].map((minutes) => doubt(null, minutes))).toEqual([
      'too little',
      null,
      null,
      'overfull',
    ]);
  });
  test('are judged by what was measured, whatever the minutes say', () => {
    expect([6.4, 6.5, 7.5, 7.6].map((litres) => doubt(litres, 70))).toEqual([
      'too little',
      null,
      null,
      'overfull',
    ]);
    expect([doubt(7, 20), doubt(7, 200)]).toEqual([null, null]);
  });
});

describe('a reading', () => {
  const bath = {
    id: '2K',
    sodium: 140,
    potassium: 2,
    calcium: 2.5,
    magnesium: 1,
    chloride: 108,
    bicarbonate: 32,
    acetate: 4,
  };
  const judged = (measured: Parameters<typeof judgeReading>[0], of: typeof bath | null = bath) =>
    judgeReading(measured, of, LIMITS).result;

  // 13.916 mS/cm at 25 C by the law of Robinson and Stokes, worked out apart from this code; 5 % are 0.696.
  test('of conductivity is within 5 % of what the bath leads to expect', () => {
    const at25 = (conductivity: number) => judged({ conductivity, temperature: 25 });
    expect([13.21, 13.23, 13.916, 14.6, 14.62].map(at25)).toEqual([
      'out',
      'within',
      'within',
      'within',
      'out',
    ]);
    const [one] = judgeReading({ conductivity: 13.9, temperature: 25 }, bath, LIMITS).judged;
    expect(one).toMatchObject({ quantity: 'conductivity', value: 13.9, within: true });
    expect([one!.low, one!.high]).toEqual([13.916 * 0.95, 13.916 * 1.05].map((x) => expect.closeTo(x, 2)));
  });
  test('of pH is within 6.9 to 7.6, both included', () => {
    const complete = (pH: number) => judged({ conductivity: 13.9, temperature: 25, pH });
    expect([6.89, 6.9, 7.6, 7.61].map(complete)).toEqual(['out', 'within', 'within', 'out']);
    expect(judgeReading({ pH: 7.61 }, null, LIMITS).judged).toEqual([
      { quantity: 'pH', value: 7.61, low: 6.9, high: 7.6, within: false },
    ]);
  });
  // ISO 13958:2014, 4.1.2.1: 5 % or 0.1 mmol/L, whichever is more.
  test('of potassium is within 0.1 mmol/L or 5 % of what is prescribed', () => {
    const limits = (potassium: number) => {
      const { judged: found } = judgeReading({ potassium }, { ...bath, potassium }, LIMITS);
      return found.map(({ quantity, low, high }) => [quantity, low, high]);
    };
    expect(limits(1)).toEqual([['potassium', 0.9, 1.1]]);
    expect(limits(4)).toEqual([['potassium', 3.8, 4.2]]);
    const of2 = (potassium: number) => judged({ conductivity: 13.9, temperature: 25, potassium });
    expect([1.89, 1.9, 2.1, 2.11].map(of2)).toEqual(['out', 'within', 'within', 'out']);
  });
  test('a billionth is rounding, not out of limits', () => {
    const pH = (value: number) => judged({ pH: value }, null);
    expect([6.9 - 2e-9, 6.9 - 1e-9, 7.6 + 1e-9, 7.6 + 2e-9].map(pH)).toEqual([
      'out',
      'within',
      'within',
      'out',
    ]);
    const limit = { totalChlorine: 0.1 };
    const passes = (totalChlorine: number) => testPassed({ result: 'pass', totalChlorine }, limit);
    expect([0.1 + 1e-9, 0.1 + 2e-9].map(passes)).toEqual([true, false]);
    const doubt = (litres: number) =>
      volumeDoubt({ litres, minutes: 70, shortest: 65, longest: 75, fillLitres: 6.5, maxLitres: 7.5 });
    expect([6.5 - 2e-9, 6.5 - 1e-9, 7.5 + 1e-9, 7.5 + 2e-9].map(doubt)).toEqual([
      'too little',
      null,
      null,
      'overfull',
    ]);
  });
  test('is not complete without the conductivity that can be judged', () => {
    expect(judged({ pH: 7.2 })).toBe('incomplete');
    expect(judged({ conductivity: 13.9 })).toBe('incomplete');
    expect(judged({ temperature: 25 })).toBe('incomplete');
    expect(judged({ conductivity: 13.9, temperature: 60, pH: 7.2 })).toBe('incomplete');
    expect(judged({})).toBe('incomplete');
  });
  test('where the bath or its composition is not known is judged by the rest', () => {
    const untyped = { id: '2K' } as typeof bath;
    expect(judged({ pH: 7.2 }, untyped)).toBe('within');
    expect(judged({ conductivity: 13.9, temperature: 25 }, untyped)).toBe('incomplete');
    expect(judged({ pH: 7.2 }, null)).toBe('within');
    expect(judged({ potassium: 9 }, untyped)).toBe('incomplete');
    expect(judged({ potassium: 9 }, null)).toBe('incomplete');
    expect(judged({ conductivity: 5, temperature: null })).toBe('incomplete');
    expect(judged({ conductivity: null, temperature: 25 })).toBe('incomplete');
    expect(judged({ pH: 9 }, null)).toBe('out');
  });
});
