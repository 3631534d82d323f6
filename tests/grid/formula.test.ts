import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { column, knowsUnit, quantity } from '../../src/grid/formula.ts';

const value = (text: string, unit?: string): number => {
  const outcome = quantity(text, unit);
  if ('problem' in outcome) throw new Error(outcome.problem);
  return outcome.value;
};
const problem = (text: string, unit?: string): string => {
  const outcome = quantity(text, unit);
  if (!('problem' in outcome)) throw new Error(`${text} was taken as ${outcome.value}`);
  return outcome.problem;
};

describe('a number cell takes', () => {
  test('plain numbers, as they are', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e9, max: 1e9 }), (number) => {
        expect(value(String(number), 'kg')).toBe(number + 0);
      }),
    );
  });
  // The pound is 0.45359237 kg exactly, the US gallon 3.785411784 L exactly (NIST Handbook 44, 2024, appendix C).
  test.each([
    ['180 lb', 'kg', 180 * 0.45359237],
    ['1 gallon', 'L', 3.785411784],
    ['2 L/h', 'mL/h', 2000],
    ['48 L/day', 'mL/h', 2000],
    ['0.5 L/min', 'mL/min', 500],
    ['90 min', 'h', 1.5],
    ['1 day', 'h', 24],
    ['25 mL/kg/h', 'mL/kg/h', 25],
    ['(2 L + 300 mL)/h', 'mL/h', 2300],
    ['1.2*84', 'kg', 100.8],
    ['0.1*3', 'L', 0.3],
    ['round(81.6)', 'kg', 82],
    ['min(3, 4)', 'L', 3],
    ['max(3,4)', 'L', 4],
    // As copied from a page: with a space that does not break.
    ['180\u00a0lb', 'kg', 180 * 0.45359237],
    ['2^3', undefined, 8],
  ])('%s in %s', (text, unit, wanted) => {
    expect(value(text, unit)).toBeCloseTo(wanted, 9);
  });
  test('no floating dust: three tenths three times are nine tenths', () => {
    expect(value('0.3*3')).toBe(0.9);
    expect(0.3 * 3).not.toBe(0.9);
  });
});

describe('a number cell refuses', () => {
  test('a wrong unit, and says which it expected', () => {
    expect(problem('5 L', 'kg')).toBe('expected kg, not L');
    expect(problem('5 kg')).toMatch(/expected a plain number/);
    expect(problem('2 L/h + 100', 'mL/h')).toMatch(/units that do not go together.*mL\/h/);
  });
  test('a comma in a number, which means two things', () => {
    expect(problem('1,234', 'kg')).toMatch(/point/);
    expect(problem('(1,5) kg', 'kg')).toMatch(/point/);
  });
  test.each([
    'import("fs")',
    'evaluate("1")',
    'parse("1")',
    'createUnit("x")',
    'simplify("1")',
    'a = 3',
    'f(x) = x',
    '[1, 2]',
    '{a: 1}',
    '"text"',
    'x.constructor',
    'constructor',
    '__proto__',
    'toString',
    'config({})',
    '1; 2',
    '1:10',
    '1 > 0 ? 1 : 2',
    'true',
    '2i',
    'pi',
    '5!',
    'ones(1000, 1000)',
    'random()',
    '',
    'kg',
    '1..2',
  ])('%s', (text) => {
    expect(problem(text, 'kg')).not.toBe('');
  });
  test('what is too long, too deep, or has no finite result', () => {
    expect(problem('1+'.repeat(150) + 1)).toMatch(/200 characters/);
    expect(problem('1+'.repeat(90) + 1)).toMatch(/80 parts/);
    expect(problem('9^9^9^9')).toMatch(/finite/);
    expect(problem('1/0')).toMatch(/finite/);
    expect(problem('1e999')).toMatch(/too large/);
    expect(problem('1/0 kg', 'kg')).toMatch(/finite/);
    expect(problem('kg', 'kg')).toMatch(/no number.*quantity in kg/);
    expect(value('1'.padStart(200, '0'))).toBe(1);
  });
  test('never throws and never answers with anything but a finite number', () => {
    const piece = fc.constantFrom(
      '1',
      '2.5',
      'kg',
      'L',
      '/',
      '*',
      '+',
      '-',
      '(',
      ')',
      '^',
      'min',
      ' ',
      ',',
      'h',
      '=',
      '"',
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 12 }), (pieces) => {
        const outcome = quantity(pieces.join(''), 'kg');
        if ('value' in outcome) expect(Number.isFinite(outcome.value)).toBe(true);
      }),
    );
  });
});

describe('an own column', () => {
  const fields = { dose: { value: 25, unit: 'mL/kg/h' }, weight: { value: 80, unit: 'kg' } };
  test('has the unit that its fields give it', () => {
    expect(column('dose * weight', fields)).toEqual({ value: 2000, unit: 'mL/h' });
    expect(column('dose * weight / 1000', fields)).toEqual({ value: 2, unit: 'mL/h' });
    expect(column('weight * weight', fields)).toEqual({ value: 6400, unit: 'kg^2' });
    expect(column('2 / weight', fields)).toEqual({ value: 0.025, unit: '1/kg' });
    expect(column('dose / weight / weight / 25 mL', fields)).toEqual({ value: 80 ** -2, unit: '1/kg^3/h' });
    expect(column('2 / weight', fields, '1/lb')).toEqual({
      value: expect.closeTo(0.025 * 0.45359237, 12),
      unit: '1/lb',
    });
    expect(column('weight / weight', fields)).toEqual({ value: 1, unit: '' });
    expect(column('weight / 0', fields)).toEqual({ problem: 'the result is no finite number' });
    expect(column('length', {})).toEqual({ problem: "'length' is no unit known here" });
  });
  test('is converted to the unit asked for, or refused', () => {
    expect(column('dose * weight', fields, 'L/day')).toEqual({ value: 48, unit: 'L/day' });
    expect(column('dose * weight', fields, 'kg')).toHaveProperty('problem');
    expect(column('dose + weight', fields)).toHaveProperty('problem');
    expect(column('dose * length', fields)).toEqual({
      problem: "'length' is no unit and no column of this sheet known here",
    });
  });
});

test('units of every column are known', () => {
  for (const unit of ['kg', 'mL/kg/h', 'mL/h', 'h', 'mL/min', 'min', 'L', 'mmol/L', 'mEq/L', 'day', 'bag'])
    expect(knowsUnit(unit), unit).toBe(true);
  for (const unit of ['zz', '2 kg', '5', '', ' ', 'kg 2']) expect(knowsUnit(unit), unit).toBe(false);
});
