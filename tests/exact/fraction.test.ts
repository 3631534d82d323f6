import fc from 'fast-check';
import { fraction, type Fraction as Reference } from 'mathjs';
import { describe, expect, it } from 'vitest';
import {
  add,
  ceil,
  compare,
  decimal,
  divide,
  type Fraction,
  floor,
  multiply,
  places,
  scaled,
  subtract,
  toNumber,
  whole,
} from '../../src/exact/fraction.ts';

const text = ({ n, d }: Fraction) => `${n}/${d}`;
const reference = (value: Reference) => `${value.s * value.n}/${value.d}`;
const typed = fc
  .tuple(fc.integer({ min: -1_000_000, max: 1_000_000 }), fc.integer({ min: 0, max: 6 }))
  .map(([digits, dots]) => Number(`${digits}e-${dots}`));

describe('fractions, against those of mathjs', () => {
  it('read decimals as written', () => {
    fc.assert(
      fc.property(typed, (value) => {
        expect(text(decimal(value))).toBe(reference(fraction(String(value))));
      }),
      { numRuns: 500, seed: 1 },
    );
    expect(text(decimal(0.1))).toBe('1/10');
    expect(text(decimal(1e-7))).toBe('1/10000000');
    expect(text(decimal(1e21))).toBe('1000000000000000000000/1');
    expect(text(decimal(1.5e-9))).toBe('3/2000000000');
    expect(text(decimal(-0))).toBe('0/1');
  });

  it('add, subtract, multiply, divide and compare', () => {
    fc.assert(
      fc.property(typed, typed, (x, y) => {
        const [a, b] = [decimal(x), decimal(y)];
        const [p, q] = [fraction(String(x)), fraction(String(y))];
        expect(text(add(a, b))).toBe(reference(p.add(q)));
        expect(text(subtract(a, b))).toBe(reference(p.sub(q)));
        expect(text(multiply(a, b))).toBe(reference(p.mul(q)));
        if (y !== 0) expect(text(divide(a, b))).toBe(reference(p.div(q)));
        expect(Math.sign(compare(a, b))).toBe(p.compare(q));
        expect(compare(a, { n: a.n * 6n, d: a.d * 6n })).toBe(0);
        expect(floor(a)).toBe(Number(p.floor().valueOf()) + 0);
        expect(ceil(a) + 0).toBe(Number(p.ceil().valueOf()) + 0);
        expect(toNumber(a)).toBe(x + 0);
      }),
      { numRuns: 500, seed: 2 },
    );
  });
});

describe('fractions at their edges', () => {
  it('no number is no fraction, and nothing is divided by 0', () => {
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])
      expect(() => decimal(value)).toThrow(RangeError);
    expect(() => divide(whole(1), whole(0))).toThrow(RangeError);
  });
  it('places counts decimals as typed', () => {
    expect([0, 7, 6.5, 0.02222, 1e-7, 100, 0.125, 1.1e-3].map(places)).toEqual([0, 0, 1, 5, 7, 0, 3, 4]);
    // In lowest terms 1/5, 1/25 and 3/4: no factor 10 is left to count.
    expect([0.2, 0.04, 0.75].map(places)).toEqual([1, 2, 2]);
  });
  it('scaled is exact or throws', () => {
    expect(scaled(0.07, 100)).toBe(7);
    expect(scaled(1.005, 1000)).toBe(1005);
    expect(() => scaled(0.075, 100)).toThrow(RangeError);
    expect(() => scaled(1e10, 1e9)).toThrow(RangeError);
  });
  it('toNumber keeps its precision with long numerators', () => {
    expect(toNumber({ n: 10n ** 30n, d: 3n * 10n ** 29n })).toBeCloseTo(10 / 3, 14);
    // Neither part is a finite floating-point number.
    expect(toNumber({ n: 10n ** 400n, d: 3n * 10n ** 399n })).toBeCloseTo(10 / 3, 14);
  });
});
