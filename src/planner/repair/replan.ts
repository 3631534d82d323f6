import { asPlan } from '../../plan/asPlan.ts';
import { type Activity, type Bound, NOTHING_PROVEN } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Planner, PlanOptions } from '../options.ts';
import { historyOf } from '../schedule/history.ts';
import { askForDuties, leftOutRemarks } from '../schedule/placeDuties.ts';
import { planAnew, searched, withLines } from '../search/planAnew.ts';
import { settle } from './lost.ts';
import { repaired } from './repair.ts';
import { settingOf } from './replay.ts';
import { withRoom } from './room.ts';
import { steadied } from './steady.ts';

export interface ReplanOptions extends PlanOptions {
  /** Search as long as for a first plan, and from the beginning; the plan before stays unless that finds a better one. */
  readonly anew?: boolean;
  /** Where the problem is stricter than the rules as typed: the problem by these (see `withSlack`). */
  readonly real?: Problem;
}

/** Tries of a search from the beginning that history forbids to begin elsewhere than at the plan before. */
export const LONG_TRIES = 12_000;

/**
 * Plans again after an edit. The plan before is repaired first: valid at once, told as the first progress. For what is
 * still unmet one machine or two make room (see `pushedIn`). What comes out is kept unless the search finds a better
 * score; of what is found then, as little as may be has moved (see `steadied`). What had begun by `now` and
 * cannot have been done, or ended, as the scenario stands is left out first (see `settle`). Without a plan before: a first plan.
 */
export const replan = async (problem: Problem, options: ReplanOptions = {}): ReturnType<Planner> => {
  const { previous: made, now = 0, anew = false, ...rest } = options;
  if (!made) return planAnew(problem, { ...rest, now });
  if (now === 0) askForDuties(problem);
  const { activities: previous } = settle(problem, made, now);
  const { clock, onProgress } = options;
  const began = clock?.() ?? 0;
  const elapsed = () => ((clock?.() ?? 0) - began) / 1000;
  const historyIn = (activities: readonly Activity[]) => (now > 0 ? historyOf(activities, now) : []);
  const worth = (activities: readonly Activity[], bound: Bound, remarks: readonly string[]) =>
    asPlan(problem, activities, { bound, remarks, seconds: elapsed() });
  const tell = async (activities: readonly Activity[]) => {
    if (!onProgress) return;
    const { score, activities: ordered } = worth(activities, NOTHING_PROVEN, []);
    onProgress({ done: 0, score, bound: null, activities: ordered });
    await options.pause?.();
  };
  const stands = repaired(settingOf(problem, historyIn(previous), now), previous);
  await tell(stands);
  const setting = settingOf(problem, historyIn(stands), now);
  const kept = anew ? stands : withRoom(setting, previous, stands);
  if (kept !== stands) await tell(kept);
  const found = await searched(problem, {
    ...rest,
    ...(anew && now === 0 ? {} : { previous: kept, now }),
    ...(anew && now > 0 ? { tries: rest.tries ?? LONG_TRIES } : {}),
  });
  const steady = steadied(setting, previous, kept, found.activities);
  const remarks = [...found.remarks, ...leftOutRemarks(problem, steady, setting.history)];
  return withLines(worth(steady, found.bound, remarks), options, found.lines);
};
