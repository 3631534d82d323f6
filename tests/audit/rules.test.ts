import { describe, expect, it } from 'vitest';
import { audit, RULES } from '../../src/audit/audit.ts';
import { compile } from '../../src/scenario/problem.ts';
import { MACHINES } from './cases-machines.ts';
import { RESOURCES } from './cases-resources.ts';
import { TIMES } from './cases-times.ts';

const CASES = [...TIMES, ...MACHINES, ...RESOURCES];

for (const { id } of RULES)
  describe(id, () => {
    for (const { name, world, plan, breaches } of CASES.filter(({ rule }) => rule === id))
      it(name, () => {
        const { violations, ok } = audit(compile(world), plan);
        const found = violations.filter(({ rule }) => rule === id);
        expect(found.map(({ start, end, amount }) => [start, end, amount])).toEqual(breaches);
        if (breaches.length > 0) expect(ok).toBe(false);
        for (const { message, unit } of found) {
          expect(message).toMatch(/^\S.*[^.]\.$/);
          expect(message).not.toMatch(/undefined|NaN\b(?! and)|\[object/);
          expect(unit).not.toBe('');
        }
      });
  });

describe('the table of rules', () => {
  it('has no id twice', () => expect(new Set(RULES.map(({ id }) => id)).size).toBe(RULES.length));

  it.each(RULES.map(({ id }) => id))(
    '%s: cases that keep it, on the border too, and cases that break it',
    (id) => {
      const cases = CASES.filter(({ rule }) => rule === id);
      expect(cases.filter(({ breaches }) => breaches.length === 0).length).toBeGreaterThanOrEqual(2);
      expect(cases.filter(({ breaches }) => breaches.length > 0).length).toBeGreaterThanOrEqual(1);
    },
  );

  it('has every rule that has cases', () => {
    const ids = new Set(RULES.map(({ id }) => id));
    expect(CASES.filter(({ rule }) => !ids.has(rule))).toEqual([]);
  });
});
