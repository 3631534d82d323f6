import type { Demand } from '../../demand/demand.ts';
import { type Bound, NOTHING_PROVEN, strongest } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { type BoundOptions, boundsOf } from './bounds.ts';
import { roughHandsOn } from './roughBound.ts';

/** What no plan can do better than, and what the reader should know of it. */
export interface Proven extends Bound {
  readonly remarks: readonly string[];
  /** The plain count alone: no solver has answered, so most likely a better one comes. */
  readonly rough?: boolean;
}

/** Said of a hands-on bound that no solver has improved. */
export const ROUGH =
  'The least possible work so far is a plain count: the swaps, circuits and tests that the bags take.';

/**
 * Lower bounds in three steps, each weaker and sooner than the next, so that a solver that is ended meanwhile leaves
 * what was proven by then: a plain count, the counted model's relaxation, and that in whole numbers. Each holds by
 * itself and is never below the one before. Never rejects (see `boundsOf`).
 * @param options without `allowed` the first step counts nothing
 */
export async function* provenInSteps(
  problem: Problem,
  demand: Demand,
  options: BoundOptions,
): AsyncGenerator<Proven> {
  const { allowed, seconds } = options;
  const rough = allowed ? roughHandsOn(problem, demand, allowed) : null;
  let best: Bound = { unmetLitres: null, handsOnMinutes: rough };
  const better = ({ remarks, ...bound }: Proven): Proven => {
    best = strongest(best, bound);
    const unimproved = rough !== null && rough > 0 && best.handsOnMinutes === rough;
    return { ...best, remarks: unimproved ? [...remarks, ROUGH] : remarks };
  };
  yield { ...best, remarks: [ROUGH], rough: true };
  // Without the relaxation there is little: it may take twice as long.
  yield better(
    await boundsOf(problem, demand, {
      ...options,
      ...(seconds !== undefined && { seconds: 2 * seconds }),
      iterations: 0,
    }),
  );
  yield better(await boundsOf(problem, demand, options));
}

/** What is left when the solver ends before its time: what it had proven by then, if anything, and why there is no more. */
export const cutShort = (proven: Proven | null, why: string): Proven =>
  proven
    ? { ...proven, remarks: [...proven.remarks, `A better lower bound was not found: ${why}.`] }
    : {
        ...NOTHING_PROVEN,
        remarks: [`No lower bound is proven: ${why}. The plan itself is complete and does not depend on it.`],
      };
