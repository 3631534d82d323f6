import type { Demand } from '../demand/demand.ts';
import type { Bound } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem.ts';
import { type BoundOptions, boundsOf } from './bounds.ts';

/** What no plan can do better than, and what the reader should know of it. */
export interface Proven extends Bound {
  readonly remarks: readonly string[];
}

/**
 * Lower bounds in two steps, weak and soon, then strong and late, so that a solver that is ended meanwhile leaves what
 * was proven by then. Each step holds by itself; the second is never below the first. Never rejects (see `boundsOf`).
 */
export async function* provenInSteps(
  problem: Problem,
  demand: Demand,
  options: BoundOptions,
): AsyncGenerator<Proven> {
  // Without a first step there is nothing: it may take twice as long.
  const { seconds } = options;
  const soon = await boundsOf(problem, demand, {
    ...options,
    ...(seconds !== undefined && { seconds: 2 * seconds }),
    iterations: 0,
  });
  const first = { unmetLitres: soon.unmetLitres, handsOnMinutes: soon.handsOnMinutes };
  yield { ...first, remarks: soon.remarks };
  const late = await boundsOf(problem, demand, options);
  yield {
    unmetLitres: Math.max(first.unmetLitres, late.unmetLitres),
    handsOnMinutes: Math.max(first.handsOnMinutes, late.handsOnMinutes),
    remarks: late.remarks,
  };
}

/** What is left when the solver ends before its time: what it had proven by then, if anything, and why there is no more. */
export const cutShort = (proven: Proven | null, why: string): Proven =>
  proven
    ? { ...proven, remarks: [...proven.remarks, `A better lower bound was not found: ${why}.`] }
    : {
        unmetLitres: 0,
        handsOnMinutes: 0,
        remarks: [`No lower bound is proven: ${why}. The plan itself is complete and does not depend on it.`],
      };
