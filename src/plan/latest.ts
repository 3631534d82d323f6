import type { Problem } from '../scenario/problem/types.ts';
import { type LatestLimit, standingLimits } from './late/limits.ts';
import { techniciansIn, testsIn, waterIn } from './late/minutes.ts';
import { roundLimits } from './late/rounds.ts';
import { movedOf, type Standing, standingOf } from './late/standing.ts';
import type { Activity } from './plan.ts';

export type { LatestLimit, LimitKind } from './late/limits.ts';
export { delayed } from './late/standing.ts';

/** How late one activity of a plan can be while all others stay (a fill takes its swap along, a swap makes its fill longer). */
export interface Latest {
  /** min; 0: none at all. */
  readonly later: number;
  /** The last minute at which it may begin, and at which it then ends. */
  readonly start: number;
  readonly end: number;
  /** What sets that: one limit, or several at once. */
  readonly by: readonly LatestLimit[];
}

/**
 * How late each activity of a plan can be: the tightest of all its limits (the list of `LimitKind`). Delayed by so much,
 * all others staying, the plan breaks no rule that it keeps now and serves no less; by one minute more it breaks one or
 * serves less. What the plan already breaks is not asked about. Times in minutes from the start.
 * @returns told the index of an activity
 */
export function latestIn(problem: Problem, activities: readonly Activity[]): (index: number) => Latest {
  const standing = standingOf(problem, activities);
  const known = new Map<number, Latest>();
  return (index) => {
    const found = known.get(index) ?? latestAt(standing, index);
    known.set(index, found);
    return found;
  };
}

/** `latestIn` for one activity alone. */
export const latestOf = (problem: Problem, activities: readonly Activity[], index: number): Latest =>
  latestIn(problem, activities)(index);

function latestAt(standing: Standing, index: number): Latest {
  const own = standing.activities[index]!;
  const limits: LatestLimit[] = standingLimits(standing, index).map((limit) => ({
    ...limit,
    later: Math.max(0, limit.later),
  }));
  const least = () => Math.min(...limits.map(({ later }) => later));
  // Minute by minute, one more than what is known, so that all that sets it is told.
  const upTo = least() + 1;
  const moved = movedOf(standing.activities, index);
  const tests = [techniciansIn(standing, moved, upTo), waterIn(standing, moved), testsIn(standing, moved)];
  for (let by = 1; by <= upTo; by++) {
    const broken = tests.flatMap((breaks) => breaks(by));
    limits.push(...broken.map(({ kind, at }) => ({ kind, at, later: by - 1 })));
    if (broken.length > 0) break;
  }
  limits.push(...roundLimits(standing, index, least()));
  const later = least();
  return {
    later,
    start: own.start + later,
    end: own.end + later,
    by: limits.filter((limit) => limit.later === later),
  };
}

/** Minutes from..to, both included, within which a technician must come to swap the bags of a fill. */
export interface SwapWindow {
  readonly from: number;
  readonly to: number;
}

/**
 * When the bags of a fill may be swapped: not before they hold what they must, and not after the tightest of all that
 * limits the swap (`latestIn`). A fill without a swap has only what its bags may hold.
 * @returns told the index of a fill; null for anything else
 */
export function swapWindowsIn(
  problem: Problem,
  activities: readonly Activity[],
): (index: number) => SwapWindow | null {
  const latest = latestIn(problem, activities);
  const swaps = new Map(
    activities.flatMap((one, i) =>
      one.kind === 'swap' ? [[`${one.machine}\n${one.start}`, i] as const] : [],
    ),
  );
  return (index) => {
    const fill = activities[index];
    if (fill?.kind !== 'fill') return null;
    const machine = problem.machines.find(({ id }) => id === fill.machine);
    if (!machine) return null;
    const swap = swaps.get(`${fill.machine}\n${fill.end}`);
    const to = swap === undefined ? fill.start + machine.longest : latest(swap).start;
    return { from: fill.start + machine.shortest, to };
  };
}
