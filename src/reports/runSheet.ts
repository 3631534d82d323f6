import { swapWindowsIn } from '../plan/latest.ts';
import type { Activity } from '../plan/plan.ts';
import { handsOnMinutes, placeKey, workOf } from '../plan/work.ts';
import type { Problem, ShiftBand } from '../scenario/problem/types.ts';

/** What is done at a machine, a water source or elsewhere, one line of a run sheet. */
export interface RunRow {
  /** Place of the activity in the plan's list. */
  readonly index: number;
  readonly kind: Exclude<Activity['kind'], 'swap'>;
  readonly start: number;
  readonly end: number;
  /** Empty for tests and duties. */
  readonly bath: string;
  /** A duty's own name; '' for other work. */
  readonly duty: string;
  /** Duties: when they may begin, both included. */
  readonly begins: { readonly from: number; readonly to: number } | null;
  /** Held at the work itself; a fill holds somebody only while it begins. */
  readonly technicians: number;
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
  /** '' for breaks and work elsewhere. */
  readonly place: string;
  readonly of: 'machine' | 'water' | 'elsewhere';
  /** Machines: what runs and how old the circuit is as the shift begins. */
  readonly loaded: { readonly bath: string; readonly circuitSince: number } | null;
  readonly rows: readonly RunRow[];
}
interface RunSheet {
  readonly shift: ShiftBand;
  readonly from: number;
  readonly to: number;
  readonly places: readonly RunPlace[];
  /** Technician minutes of the hands-on work that begins in the shift; walking and duties are not in it. */
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
  const ending = new Set(problem.duties.flatMap(({ id, endsCircuit }) => (endsCircuit ? id : [])));
  let state = given ? { bath: problem.baths[given.bath]!, circuitSince: given.since } : null;
  for (const activity of activities) {
    if (activity.kind === 'test' || activity.machine !== machine || activity.start >= minute) continue;
    if (activity.kind === 'duty' && ending.has(activity.duty)) state = null;
    if (activity.kind === 'circuit') state = { bath: activity.bath, circuitSince: activity.start };
    if (activity.kind === 'bath' && state) state = { ...state, bath: activity.bath };
  }
  return state;
}

/** One line for each activity that a shift sees, by its place in the list; a swap stands on the line of its fill. */
function rowMaker(
  problem: Problem,
  activities: readonly Activity[],
  { from, to }: Pick<RunSheet, 'from' | 'to'>,
) {
  const windows = swapWindowsIn(problem, activities);
  const technicians = new Map(workOf(problem, activities).map((piece) => [piece.index, piece.technicians]));
  const within = (minute: number) => minute >= from && minute < to;
  return (activity: Activity, index: number): RunRow | null => {
    if (activity.kind === 'swap') return null;
    const { kind, start, end } = activity;
    const machine = kind === 'fill' ? problem.machines.find(({ id }) => id === activity.machine) : undefined;
    const swapEnd = end + problem.rules.swapMinutes;
    if (kind === 'fill' && !machine) return null;
    // A fill that begins when the shift does not is on its sheet while any of it, or of its swap, is under way.
    if (!(kind === 'fill' && within(start)) && !(start < to && (machine ? swapEnd : end) > from)) return null;
    const slack = kind === 'duty' ? (problem.duties.find(({ id }) => id === activity.duty)?.slack ?? 0) : 0;
    return {
      index,
      kind,
      start,
      end,
      bath: 'bath' in activity ? activity.bath : '',
      duty: kind === 'duty' ? activity.duty : '',
      begins: kind === 'duty' ? { from: activity.at, to: activity.at + slack } : null,
      technicians: technicians.get(index) ?? 0,
      window: windows(index),
      swap: machine ? { start: end, end: swapEnd } : null,
      bags: machine?.usable ?? 0,
      carriedOver: start < from,
      handedOn: machine ? end >= to : end > to,
    };
  };
}

/**
 * One shift's work by machine, then water source, then elsewhere (breaks). A fill and its swap are one line. What runs
 * over a change of shift stands on the sheets of both: who comes must end it.
 * @param activities in order of time
 */
export function runSheet(problem: Problem, activities: readonly Activity[], shift: ShiftBand): RunSheet {
  const from = Math.max(0, shift.from);
  const to = Math.min(problem.horizon, shift.to);
  const rowOf = rowMaker(problem, activities, { from, to });
  // A machine and a water source may bear the same name.
  const rows = new Map<string, RunRow[]>();
  activities.forEach((activity, index) => {
    const row = rowOf(activity, index);
    if (row) rows.set(placeKey(activity), [...(rows.get(placeKey(activity)) ?? []), row]);
  });
  const rowsOf = (key: string) => (rows.get(key) ?? []).sort((a, b) => a.start - b.start);
  const elsewhere = rowsOf('');
  return {
    shift,
    from,
    to,
    handsOnMinutes: handsOnMinutes(
      problem,
      activities.filter(({ start }) => start >= from && start < to),
    ),
    places: [
      ...problem.machines.map(({ id }) => ({
        place: id,
        of: 'machine' as const,
        loaded: loadedAt(problem, activities, id, from),
        rows: rowsOf(`machine ${id}`),
      })),
      ...problem.water.map(({ id }) => ({
        place: id,
        of: 'water' as const,
        loaded: null,
        rows: rowsOf(`water ${id}`),
      })),
      ...(elsewhere.length > 0
        ? [{ place: '', of: 'elsewhere' as const, loaded: null, rows: elsewhere }]
        : []),
    ],
  };
}
