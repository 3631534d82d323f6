import { type Activity, isHandsOn, placeOf } from '../plan/plan.ts';
import type { Problem, ShiftBand } from '../scenario/problem/types.ts';
import { type RunRow, runSheet } from './runSheet.ts';

/** One piece of work of a shift: what takes hands, or the start of a fill. */
export interface Work {
  readonly activity: Activity;
  readonly place: string;
  /** Technician 1, 2 ... of the shift; null: a start of a fill, which whoever is near makes and which takes no minutes. */
  readonly technician: number | null;
  /** Swaps and starts of fills: minutes within which the technician must come to swap, both inclusive. */
  readonly window: { readonly from: number; readonly to: number } | null;
  /** What runs or is filled; empty for tests. */
  readonly bath: string;
}
/** over: a start of a fill so long ago that it is for the swap to be late. */
export type WorkState = 'done' | 'late' | 'now' | 'ahead' | 'over';

/** Identifies a piece of work as long as the plan keeps it. */
export const workName = ({ activity, place }: Work): string => `${activity.kind} ${place} ${activity.start}`;

/** Ticked off; a fill whose swap is done was begun, whether or not somebody ticked that. */
export const isTicked = (work: Work, ticks: ReadonlySet<string>): boolean =>
  ticks.has(workName(work)) ||
  (work.activity.kind === 'fill' && ticks.has(`swap ${work.place} ${work.activity.end}`));

/** What of one line of a run sheet begins in its shift, from minute `from` on: a fill's line holds its start and its swap. */
function begun(
  row: RunRow,
  activities: readonly Activity[],
  swaps: ReadonlyMap<string, Activity>,
  from: number,
): Work[] {
  const activity = activities[row.index]!;
  const place = placeOf(activity);
  const own = row.swap && row.swap.start >= from && !row.handedOn;
  const swap = own ? swaps.get(`${place} ${row.swap.start}`) : undefined;
  return [...(row.carriedOver ? [] : [activity]), ...(swap ? [swap] : [])].map((one) => ({
    activity: one,
    place,
    technician: null,
    window: row.window,
    bath: row.bath,
  }));
}

/**
 * What begins in a shift, in order of time: the lines of its run sheet. What takes hands is shared among its
 * technicians: whoever is free, and of these the one who was at that place last.
 * @param activities in order of time
 */
export function shiftWork(problem: Problem, activities: readonly Activity[], shift: ShiftBand): Work[] {
  const free: { until: number; place: string }[] = [];
  const swaps = new Map(
    activities.flatMap((activity) =>
      activity.kind === 'swap' ? [[`${activity.machine} ${activity.start}`, activity] as const] : [],
    ),
  );
  const { places, from } = runSheet(problem, activities, shift);
  return places
    .flatMap(({ rows }) => rows.flatMap((row) => begun(row, activities, swaps, from)))
    .sort((a, b) => a.activity.start - b.activity.start || a.activity.end - b.activity.end)
    .map((work) => {
      const { activity, place } = work;
      if (!isHandsOn(activity)) return work;
      const able = free.map((_, index) => index).filter((index) => free[index]!.until <= activity.start);
      const technician = able.find((index) => free[index]!.place === place) ?? able[0] ?? free.length;
      free[technician] = { until: activity.end, place };
      return { ...work, technician: technician + 1 };
    });
}

/**
 * How the start of a fill stands. It may come as much later as leaves its bags full when its swap's window ends; after
 * that window the swap is late, and one fill is not late twice.
 */
function stateOfStart(start: number, window: NonNullable<Work['window']>, now: number): WorkState {
  if (now < start) return 'ahead';
  if (now > window.to) return 'over';
  return now > start + window.to - window.from ? 'late' : 'now';
}

/** How a piece of work stands at a minute. Late: not begun by the last minute at which the plan has it or its window allows. */
export function stateOf({ activity, window }: Work, now: number, isDone: boolean): WorkState {
  if (isDone) return 'done';
  if (activity.kind === 'fill' && window) return stateOfStart(activity.start, window, now);
  const latest = Math.max(window?.to ?? 0, activity.end);
  if (now > latest) return 'late';
  return now >= activity.start ? 'now' : 'ahead';
}
