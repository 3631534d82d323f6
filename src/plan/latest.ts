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
 * limits the swap (`latestIn`). A fill without a swap has only what its bags may hold. Of a fill that has begun, what the
 * plan has after it can be planned again and is no limit: its window is the real one, from its real begin, with the tests
 * it runs on and whatever else is under way.
 * @param begun whether a fill has begun; by default before the problem's `now`
 * @returns told the index of a fill; null for anything else
 */
export function swapWindowsIn(
  problem: Problem,
  activities: readonly Activity[],
  begun: (fill: Activity) => boolean = ({ start }) => start < problem.now,
): (index: number) => SwapWindow | null {
  const real = underWayIn(problem, activities, begun);
  const planned = latestSwapIn(problem, activities);
  const now = latestSwapIn(problem, real);
  return (index) => {
    const fill = activities[index];
    if (fill?.kind !== 'fill') return null;
    const machine = problem.machines.find(({ id }) => id === fill.machine);
    if (!machine) return null;
    const to = (begun(fill) ? now(fill) : planned(fill)) ?? fill.start + machine.longest;
    return { from: fill.start + machine.shortest, to };
  };
}

type Fill = Activity & { readonly kind: 'fill' };
const swapKey = (machine: string, minute: number) => `${machine}\n${minute}`;

/** Told a fill of a plan, the last minute at which its swap may begin; null: it has none. */
function latestSwapIn(
  problem: Problem,
  activities: readonly Activity[],
): (fill: { readonly machine: string; readonly end: number }) => number | null {
  const latest = latestIn(problem, activities);
  const swaps = new Map(
    activities.flatMap((one, i) =>
      one.kind === 'swap' ? [[swapKey(one.machine, one.start), i] as const] : [],
    ),
  );
  return ({ machine, end }) => {
    const swap = swaps.get(swapKey(machine, end));
    return swap === undefined ? null : latest(swap).start;
  };
}

/** What is under way of a plan, with the swaps it ends in and the tests until the last window closes. */
function underWayIn(
  { machines, now }: Problem,
  activities: readonly Activity[],
  begun: (fill: Activity) => boolean,
): Activity[] {
  const fills = activities.filter((one): one is Fill => one.kind === 'fill' && begun(one));
  const swaps = new Set(fills.map(({ machine, end }) => swapKey(machine, end)));
  const until = Math.max(
    now,
    ...fills.map(({ machine, start }) => start + (machines.find(({ id }) => id === machine)?.longest ?? 0)),
  );
  return activities.filter((one) => {
    if (one.kind === 'fill') return begun(one);
    if (one.kind === 'swap') return swaps.has(swapKey(one.machine, one.start));
    return one.start < now || (one.kind === 'test' && one.end <= until);
  });
}
