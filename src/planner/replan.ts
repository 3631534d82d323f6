import { demandOf } from '../demand/demand.ts';
import type { Activity, Bound } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem.ts';
import { asPlan, historyOf, plan } from './plan.ts';
import type { Planner, PlanOptions } from './planner.ts';
import { repaired } from './repair.ts';
import { steadied } from './steady.ts';

export interface ReplanOptions extends PlanOptions {
  /** Search as long as for a first plan, and from the beginning; the plan before stays unless that finds a better one. */
  readonly anew?: boolean;
}

/** Tries of a search from the beginning that history forbids to begin elsewhere than at the plan before. */
const LONG_TRIES = 12_000;

/**
 * Plans again after an edit. The plan before is repaired first: valid at once, told as the first progress, kept unless
 * the search finds a better score; of what is found then, as little as may be has moved (see `steadied`). Without a
 * plan before: a first plan.
 */
export const replan = async (problem: Problem, options: ReplanOptions = {}): ReturnType<Planner> => {
  const { previous, now = 0, anew = false, ...rest } = options;
  if (!previous) return plan(problem, { ...rest, now });
  const { clock, onProgress } = options;
  const began = clock?.() ?? 0;
  const elapsed = () => ((clock?.() ?? 0) - began) / 1000;
  const demand = demandOf(problem);
  const kept = repaired(problem, demand, previous, now > 0 ? historyOf(previous, now) : [], now);
  const worth = (activities: readonly Activity[], bound: Bound, remarks: readonly string[]) =>
    asPlan(problem, activities, { bound, remarks, seconds: elapsed() });
  if (onProgress) {
    const { score, activities } = worth(kept, { unmetLitres: 0, handsOnMinutes: 0 }, []);
    onProgress({ done: 0, score, bound: null, activities });
    await options.pause?.();
  }
  const made = await plan(problem, {
    ...rest,
    ...(anew && now === 0 ? {} : { previous: kept, now }),
    ...(anew && now > 0 ? { tries: rest.tries ?? LONG_TRIES } : {}),
  });
  const history = now > 0 ? historyOf(kept, now) : [];
  const steady = steadied(problem, demand, previous, kept, made.activities, history, now);
  return worth(steady, made.bound, made.remarks);
};
