import { swapWindowsIn } from '../plan/latest.ts';
import type { Activity } from '../plan/plan.ts';
import type { Problem, ShiftBand } from '../scenario/problem/types.ts';

/** What somebody does at a machine or a water source, one line of a run sheet. */
export interface RunRow {
  /** Place of the activity in the plan's list. */
  readonly index: number;
  readonly kind: Exclude<Activity['kind'], 'swap'>;
  readonly start: number;
  readonly end: number;
  /** Empty for tests. */
  readonly bath: string;
  /** Fills: when a technician must come to swap (from, to, both inclusive; see `swapWindowsIn`), and when the plan has it. */
  readonly window: { readonly from: number; readonly to: number } | null;
  readonly swap: { readonly start: number; readonly end: number } | null;
  readonly bags: number;
  /** Began before the shift: of a fill the swap, of other work the rest falls to this one. */
  readonly carriedOver: boolean;
  /** A fill's whole swap, or the rest of other work, falls to the next shift. */
  readonly handedOn: boolean;
}
export interface RunPlace {
  readonly place: string;
  readonly of: 'machine' | 'water';
  /** Machines: what runs and how old the circuit is as the shift begins. */
  readonly loaded: { readonly bath: string; readonly circuitSince: number } | null;
  readonly rows: readonly RunRow[];
}
interface RunSheet {
  readonly shift: ShiftBand;
  readonly from: number;
  readonly to: number;
  readonly places: readonly RunPlace[];
  /** Minutes of hands-on work that begin in the shift. */
  readonly handsOnMinutes: number;
}

/** The shift under way in a minute, else the next one, else the last. */
export function shiftAt(problem: Problem, minute: number): ShiftBand | null {
  const { shifts } = problem;
  return (
    shifts.find(({ from, to }) => from <= minute && minute < to) ??
    shifts.find(({ from }) => from > minute) ??
    shifts.at(-1) ??
    null
  );
}

/** Bath and circuit of a machine before a minute, from what was loaded and what the plan did. */
function loadedAt(problem: Problem, activities: readonly Activity[], machine: string, minute: number) {
  const given = problem.machines.find(({ id }) => id === machine)?.loaded;
  let state = given ? { bath: problem.baths[given.bath]!, circuitSince: given.since } : null;
  for (const activity of activities) {
    if (activity.kind === 'test' || activity.machine !== machine || activity.start >= minute) continue;
    if (activity.kind === 'circuit') state = { bath: activity.bath, circuitSince: activity.start };
    if (activity.kind === 'bath' && state) state = { ...state, bath: activity.bath };
  }
  return state;
}

/**
 * One shift's work by machine, then water source. A fill and its swap are one line. What runs over a change of shift
 * stands on the sheets of both: who comes must end it.
 * @param activities in order of time
 */
export function runSheet(problem: Problem, activities: readonly Activity[], shift: ShiftBand): RunSheet {
  const from = Math.max(0, shift.from);
  const to = Math.min(problem.horizon, shift.to);
  const within = (minute: number) => minute >= from && minute < to;
  const rows = new Map<string, RunRow[]>();
  const add = (place: string, row: RunRow) => rows.set(place, [...(rows.get(place) ?? []), row]);
  let handsOnMinutes = 0;
  const windows = swapWindowsIn(problem, activities);

  activities.forEach((activity, index) => {
    // A machine and a water source may bear the same name.
    if (activity.kind === 'duty') return;
    const place = activity.kind === 'test' ? `water ${activity.water}` : `machine ${activity.machine}`;
    if (activity.kind !== 'fill' && within(activity.start)) handsOnMinutes += activity.end - activity.start;
    if (activity.kind === 'fill') {
      const machine = problem.machines.find(({ id }) => id === activity.machine);
      const swapEnd = activity.end + problem.rules.swapMinutes;
      if (!machine || !(within(activity.start) || (activity.start < to && swapEnd > from))) return;
      add(place, {
        index,
        kind: 'fill',
        start: activity.start,
        end: activity.end,
        bath: activity.bath,
        window: windows(index),
        swap: { start: activity.end, end: swapEnd },
        bags: machine.positions,
        carriedOver: activity.start < from,
        handedOn: activity.end >= to,
      });
    } else if (activity.kind !== 'swap' && activity.start < to && activity.end > from)
      add(place, {
        index,
        kind: activity.kind,
        start: activity.start,
        end: activity.end,
        bath: activity.kind === 'test' ? '' : activity.bath,
        window: null,
        swap: null,
        bags: 0,
        carriedOver: activity.start < from,
        handedOn: activity.end > to,
      });
  });
  return {
    shift,
    from,
    to,
    handsOnMinutes,
    places: [
      ...problem.machines.map(({ id }) => ({
        place: id,
        of: 'machine' as const,
        loaded: loadedAt(problem, activities, id, from),
        rows: (rows.get(`machine ${id}`) ?? []).sort((a, b) => a.start - b.start),
      })),
      ...problem.water.map(({ id }) => ({
        place: id,
        of: 'water' as const,
        loaded: null,
        rows: rows.get(`water ${id}`) ?? [],
      })),
    ],
  };
}
