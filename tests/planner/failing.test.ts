import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it, vi } from 'vitest';
import { auditPlan } from '../../src/audit/audit.ts';
import { demandOf } from '../../src/demand/demand.ts';
import { NOTHING_PROVEN } from '../../src/plan/plan.ts';
import type { Outcome } from '../../src/planner/bounds/highs.ts';
import { ROUGH } from '../../src/planner/bounds/proof.ts';
import { roughHandsOn } from '../../src/planner/bounds/roughBound.ts';
import { plan } from '../../src/planner/plan.ts';
import { boundsOf, type Proven, provenInSteps } from '../../src/planner/planner.ts';
import { compile } from '../../src/scenario/problem/compile.ts';

const answer = vi.hoisted(() => ({ outcome: null as Partial<Outcome> | null }));
vi.mock(import('../../src/planner/bounds/highs.ts'), async (original) => ({
  ...(await original()),
  loadSolver: async () => ({
    solve: () => ({
      status: 'failed' as const,
      bound: Number.NEGATIVE_INFINITY,
      objective: Number.POSITIVE_INFINITY,
      values: null,
      message: '',
      timedOut: false,
      ...answer.outcome,
    }),
  }),
}));

const problem = compile(
  JSON.parse(readFileSync(path.resolve(import.meta.dirname, '../frozen/shortage-week.json'), 'utf8')),
);

/** What a solver in trouble says. None of it may cost the plan, or be taken for a proof. */
const TROUBLE: readonly [string, Partial<Outcome>, RegExp][] = [
  [
    'cannot be loaded',
    { message: 'The solver could not be loaded: no such file' },
    /no such file \(failed\)/,
  ],
  ['crashes', { message: 'The solver failed: memory access out of bounds' }, /out of bounds \(failed\)/],
  ['finds no solution where a plan is one', { status: 'infeasible' }, /\(infeasible\)/],
  ['sees no limit', { status: 'unbounded' }, /\(unbounded\)/],
  [
    'is stopped by its clock before it has proven anything',
    { status: 'limit', timedOut: true },
    /Time ran out/,
  ],
];

describe.each(TROUBLE)('a solver that %s', (_, outcome, words) => {
  it('leaves the plan as it is', async () => {
    answer.outcome = outcome;
    const made = await plan(problem, { tries: 100 });
    expect(auditPlan(problem, made).violations).toEqual([]);
    expect(made.score.unmetLitres).toBeGreaterThan(0);
    const { remarks, ...bound } = await boundsOf(problem, demandOf(problem), { allowed: made.score });
    expect(bound).toEqual(NOTHING_PROVEN);
    expect(remarks.join()).toMatch(words);
    expect(made.remarks).toEqual([]);
  });

  it('proves nothing, so that what a plain count says stands, and the reader is told', async () => {
    answer.outcome = outcome;
    const demand = demandOf(problem);
    expect(await boundsOf(problem, demand)).toMatchObject(NOTHING_PROVEN);
    const allowed = { unmetLitres: 1098.5, reserveShort: 0 };
    const handsOnMinutes = roughHandsOn(problem, demand, allowed);
    expect(handsOnMinutes).toBeGreaterThan(1000);
    const steps: Proven[] = [];
    for await (const step of provenInSteps(problem, demand, { allowed })) steps.push(step);
    expect(steps[0]).toEqual({ unmetLitres: null, handsOnMinutes, remarks: [ROUGH], rough: true });
    for (const step of steps.slice(1)) {
      expect(step).toMatchObject({ unmetLitres: null, handsOnMinutes });
      expect(step.remarks[0]).toMatch(words);
      expect(step.remarks.at(-1)).toBe(ROUGH);
    }
    expect(steps).toHaveLength(3);
  });
});
