import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { CONDUCTIVITY_TOLERANCE } from '../../src/chemistry/conductivity.ts';
import { FIELDS, fieldAt, limitsOf, whereOnScreen } from '../../src/scenario/fields.ts';
import { DEFAULT_RULES } from '../../src/scenario/problem/rules.ts';
import { scenarioSchema } from '../../src/scenario/schema.ts';

/** Path patterns of every number that the format has. */
function* numbersOf(type: z.core.$ZodType, path = ''): Generator<string> {
  if (type instanceof z.ZodOptional || type instanceof z.ZodNullable) yield* numbersOf(type.unwrap(), path);
  else if (type instanceof z.ZodArray) yield* numbersOf(type.element, `${path}[]`);
  else if (type instanceof z.ZodRecord) yield* numbersOf(type.valueType as z.core.$ZodType, `${path}{}`);
  else if (type instanceof z.ZodObject)
    for (const [name, field] of Object.entries<z.core.$ZodType>(type.shape))
      yield* numbersOf(field, path === '' ? name : `${path}.${name}`);
  else if (type instanceof z.ZodNumber) yield path;
}

describe('the table of fields', () => {
  it('has each path once, a name and one sentence of help', () => {
    expect(new Set(FIELDS.map(({ path }) => path)).size).toBe(FIELDS.length);
    for (const { path, name, help } of FIELDS) {
      expect(name, path).toMatch(/^[A-Z]/);
      expect(help, path).toMatch(/^[A-Z].*[^.]\.$/);
      expect(help.split(' ').length, path).toBeLessThanOrEqual(20);
    }
  });

  it('has every number of the plan, with its limits', () => {
    // Laws of the forecast have ranges that depend on the law; rows of nobody wait and are not planned with.
    const elsewhere =
      /^(forecast\.(startsPerDay|stayDays|weight|dose|hoursPerDay|fluidRemoval|replacement|bathByDay)|unassigned|version)/;
    const numbers = [...numbersOf(scenarioSchema)].filter((path) => !elsewhere.test(path));
    expect(numbers.length).toBeGreaterThan(50);
    const known = new Map(FIELDS.map((field) => [field.path, field]));
    expect(numbers.filter((path) => !known.get(path)?.limits)).toEqual([]);
  });

  it('has the defaults that are planned with', () => {
    const { rounds, ...values } = DEFAULT_RULES;
    for (const [key, value] of Object.entries(values))
      expect(fieldAt(['rules', key])?.fallback, key).toBe(String(value));
    expect(fieldAt(['rules', 'rounds'])?.fallback).toBe(rounds.join(' and '));
  });

  it('judges a conductivity as the chemistry does by default', () => {
    expect(DEFAULT_RULES.conductivityTolerance).toBe(CONDUCTIVITY_TOLERANCE);
  });

  it('says where a usual range or a number by default comes from', () => {
    const bare = FIELDS.filter(
      ({ limits, fallback, source }) => (limits?.usual || /^\d/.test(fallback ?? '')) && !source,
    );
    expect(bare.map(({ path }) => path)).toEqual(['rules.rounds']);
  });
});

it('a path is told by the names on the screen', () => {
  expect(whereOnScreen(['patients', 3, 'dose'], 'bed-04')).toBe(
    'Patients › bed-04 › Effluent dose (prescribed)',
  );
  expect(whereOnScreen(['patients', 3, 'changes', 0, 'bath'], 'bed-04')).toBe('Changes › bed-04 › Bath');
  expect(whereOnScreen(['rules', 'shelfHours'])).toBe('Plan and rules › Shelf life');
  expect(whereOnScreen(['rules', 'reserve', '2K'])).toBe('Plan and rules › Reserve › 2K');
  expect(whereOnScreen(['water', 1, 'capacity'])).toBe('Water › row 2 › Capacity');
  expect(whereOnScreen(['duties', 0, 'times', 1], 'Break day')).toBe('Duties › Break day › Due at');
  expect(whereOnScreen(['nothing'])).toBe('');
  expect(() => limitsOf('nothing')).toThrow();
});
