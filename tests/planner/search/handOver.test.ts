import { readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';
import { compareScores } from '../../../src/plan/plan.ts';
import { plan } from '../../../src/planner/plan.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';

const problem = compile(
  JSON.parse(readFileSync(path.resolve(import.meta.dirname, '../../../scenarios/surge-week.json'), 'utf8')),
);

it('a search that is handed the lines of a plan begins no worse than that plan; its activities alone lose some of it', async () => {
  const told = { seed: 1, lines: { of: null }, tries: 3000 };
  const { lines, activities, score } = await plan(problem, told);
  const onward = (of: NonNullable<typeof lines> | null) =>
    plan(problem, { seed: 2, from: activities, lines: { of }, tries: 1 });
  expect(compareScores((await onward(lines!)).score, score)).toBeLessThanOrEqual(0);
  expect(compareScores((await onward(null)).score, score)).toBeGreaterThan(0);
});

it('a search tells its lines only where it is asked for them', async () => {
  const made = await plan(problem, { tries: 1 });
  expect('lines' in made).toBe(false);
});
