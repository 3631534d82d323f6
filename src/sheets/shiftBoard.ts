import { type Activity, isHandsOn, placeOf } from '../plan/plan.ts';
import type { Problem, ShiftBand } from '../scenario/problem.ts';

/** One piece of hands-on work of a shift. */
export interface Work {
  readonly activity: Activity;
  readonly place: string;
  /** Technician 1, 2 ... of the shift. */
  readonly technician: number;
  /** Swaps: minutes within which the technician must come, both inclusive. */
  readonly window: { readonly from: number; readonly to: number } | null;
  /** What runs or is filled; empty for tests. */
  readonly bath: string;
}
export type WorkState = 'done' | 'late' | 'now' | 'ahead';

/** Identifies a piece of work as long as the plan keeps it. */
export const workName = ({ activity, place }: Work): string => `${activity.kind} ${place} ${activity.start}`;

/**
 * Hands-on work that begins in a shift, in order of time, shared among its technicians: whoever is free, and of these
 * the one who was at that place last.
 */
export function shiftWork(problem: Problem, activities: readonly Activity[], shift: ShiftBand): Work[] {
  const free: { until: number; place: string }[] = [];
  const fills = new Map(
    activities.flatMap((activity) =>
      activity.kind === 'fill' ? [[`${activity.machine} ${activity.end}`, activity] as const] : [],
    ),
  );
  const machines = new Map(problem.machines.map((machine) => [machine.id, machine]));
  return activities
    .filter((activity) => isHandsOn(activity) && activity.start >= shift.from && activity.start < shift.to)
    .sort((a, b) => a.start - b.start || a.end - b.end)
    .map((activity): Work => {
      const place = placeOf(activity);
      const able = free.map((_, index) => index).filter((index) => free[index]!.until <= activity.start);
      const technician = able.find((index) => free[index]!.place === place) ?? able[0] ?? free.length;
      free[technician] = { until: activity.end, place };
      const fill = activity.kind === 'swap' ? fills.get(`${activity.machine} ${activity.start}`) : undefined;
      const machine = fill && machines.get(fill.machine);
      return {
        activity,
        place,
        technician: technician + 1,
        window:
          fill && machine ? { from: fill.start + machine.shortest, to: fill.start + machine.longest } : null,
        bath: fill?.bath ?? ('bath' in activity ? activity.bath : ''),
      };
    });
}

/** How a piece of work stands at a minute. Late: not begun by the last minute at which the plan has it or its window allows. */
export function stateOf({ activity, window }: Work, now: number, isDone: boolean): WorkState {
  if (isDone) return 'done';
  const latest = Math.max(window?.to ?? 0, activity.end);
  if (now > latest) return 'late';
  return now >= activity.start ? 'now' : 'ahead';
}
