import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { planWithRival } from '../../electron/command/rivalInThread.ts';
import { auditPlan } from '../../src/audit/audit.ts';
import { compareScores } from '../../src/plan/plan.ts';
import { plan } from '../../src/planner/plan.ts';
import { rivalOf } from '../../src/planner/rivals.ts';
import { compile } from '../../src/scenario/problem.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { answering } from './answering.ts';

const scenario: Scenario = JSON.parse(
  readFileSync(path.resolve(import.meta.dirname, '../../scenarios/calm-week.json'), 'utf8'),
);
const problem = compile(scenario);
const question = { scenario, seed: 1, seconds: 60, tries: 400 };

describe('two searches side by side', () => {
  it('give the better of the plans that both seeds lead to, whichever search is the first to end', async () => {
    for (const seed of [1, 2, 3]) {
      const alone = await Promise.all(
        [{ seed }, rivalOf(seed)].map((own) => plan(problem, { ...own, tries: 400 })),
      );
      const [best] = alone.sort((a, b) => compareScores(a.score, b.score));
      const made = await planWithRival(problem, { ...question, seed });
      expect(made.score).toEqual(best!.score);
      expect(made.remarks).toEqual([]);
      expect(auditPlan(problem, made).ok).toBe(true);
    }
  });

  it.each([
    ['throws', `throw new Error('out of memory');`, /counts for nothing: it failed \(out of memory\)/],
    ['ends its thread', 'process.exit(3);', /thread ended with status 3/],
    ['never ends', 'for (;;) {}', /it was not done in time/],
  ])('leave the first plan as it is when the second %s, and say so', async (_, answer, words) => {
    const made = await planWithRival(problem, { ...question, seconds: 8 }, undefined, answering(answer));
    const alone = await plan(problem, { seed: 1, tries: 400 });
    expect(made.activities).toEqual(alone.activities);
    expect(made.remarks).toEqual([expect.stringMatching(words)]);
  });
});

describe('the second search', () => {
  it('has a seed, and another one', () => {
    for (const seed of [0, 1, 7, 2 ** 31 - 1]) {
      const { seed: other } = rivalOf(seed);
      expect(other).not.toBe(seed);
      expect(Number.isInteger(other)).toBe(true);
      expect(other).toBeGreaterThanOrEqual(0);
      expect(other).toBeLessThan(2 ** 31);
    }
  });
});
