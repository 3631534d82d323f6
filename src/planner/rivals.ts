import { compareScores, type Plan } from '../plan/plan.ts';
import type { PlanOptions } from './planner.ts';

const SEEDS = 2 ** 31;
/** Any odd number will do: far from seeds that people choose. */
const APART = 0x5bd1e995;

/**
 * A search leaves much to chance, and some scenarios want it hot, some cool: so two of them run side by side, one on each
 * core. The second of a first search: always the same one, so that the plan does not depend on the computer.
 */
export const rivalOf = (seed: number): Required<Pick<PlanOptions, 'seed' | 'cool'>> => ({
  seed: (seed + APART) % SEEDS,
  cool: true,
});

/**
 * The better plan, of equals the first; where there is no second, the first with a remark.
 * @param second why there is none, in words, when it failed
 */
export function betterPlan(first: Plan, second: Plan | string): Plan {
  if (typeof second === 'string')
    return { ...first, remarks: [...first.remarks, `The second search counts for nothing: ${second}.`] };
  return compareScores(second.score, first.score) < 0 ? second : first;
}
