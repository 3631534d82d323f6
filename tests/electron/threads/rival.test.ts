import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { planWithRival } from '../../../electron/threads/rivalInThread.ts';
import { auditPlan } from '../../../src/audit/audit.ts';
import { compareScores } from '../../../src/plan/plan.ts';
import { contest, plan } from '../../../src/planner/plan.ts';
import type { PlanOptions } from '../../../src/planner/planner.ts';
import { pairOf } from '../../../src/planner/search/rivals.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../../src/scenario/schema.ts';
import { answering } from '../command/answering.ts';

const scenario: Scenario = JSON.parse(
  readFileSync(path.resolve(import.meta.dirname, '../../frozen/calm-week.json'), 'utf8'),
);
const problem = compile(scenario);
const question = { scenario, seed: 1, seconds: 60, tries: 400 };

describe('searches side by side', () => {
  it('lead to the plan that the same searches find one after the other, no worse than any of the first pair', async () => {
    for (const seed of [1, 2, 3]) {
      const apart = (own: PlanOptions) => plan(problem, { ...own, tries: 400 });
      const [a, b] = pairOf(seed, 0);
      const [least] = [await apart(a), await apart(b)].sort((x, y) => compareScores(x.score, y.score));
      const expected = await contest(seed, async ([first, second]) => [
        await apart(first),
        await apart(second),
      ]);
      const made = await planWithRival(problem, { ...question, seed });
      expect(made.activities).toEqual(expected.activities);
      expect(compareScores(made.score, least!.score)).toBeLessThanOrEqual(0);
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

  it.each([
    [3.9, true],
    [60, false],
  ])('with %s s for all of them are both in haste: %s', async (seconds, hasty) => {
    const asked = { ...question, seconds, tries: 1700 };
    const told = answering("throw new Error('in haste: ' + question.hasty);");
    const made = await planWithRival(problem, asked, undefined, told);
    expect(made.remarks).toEqual([expect.stringContaining(`in haste: ${hasty}`)]);
    const alone = await plan(problem, { seed: 1, tries: 1700, hasty });
    expect(made.activities).toEqual(alone.activities);
    expect(auditPlan(problem, made).ok).toBe(true);
  });

  it('end where the thread does, also between two rounds', async () => {
    const poor = { unmetLitres: 1e6, unmetLitreHours: 0, reserveShort: 0, handsOnMinutes: 0, expiredBags: 0 };
    const answer = { activities: [], needs: [], score: poor, remarks: [] };
    const once = `parentPort.postMessage(${JSON.stringify(answer)}); setTimeout(() => process.exit(3), 1);`;
    const made = await planWithRival(problem, question, undefined, answering(once));
    expect(made.remarks).toEqual([expect.stringMatching(/thread ended with status 3/)]);
    expect(auditPlan(problem, made).ok).toBe(true);
  });
});
