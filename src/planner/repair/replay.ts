import type { Demand } from '../../demand/demand.ts';
import { cover, scoreOf } from '../../plan/cover.ts';
import { type Activity, placeOf, type Score } from '../../plan/plan.ts';
import type { Lot, Problem } from '../../scenario/problem/types.ts';
import { Ledger, type Run } from '../schedule/ledger.ts';

/** One thing that a machine does; a fill stands for its swap too. Machine and bath by number, times in minutes. */
export interface Piece {
  readonly kind: Run['kind'];
  readonly machine: number;
  readonly bath: number;
  readonly start: number;
  readonly end: number;
  /** History: never asked, never moved. */
  readonly fixed: boolean;
}

/** The machines' pieces of a plan, in order of time; what names no machine or bath of the problem is left out. */
export function piecesOf(
  problem: Problem,
  activities: readonly Activity[],
  fixed: ReadonlySet<Activity>,
): Piece[] {
  const machineOf = new Map(problem.machines.map(({ id }, index) => [id, index]));
  const bathOf = new Map(problem.baths.map((id, index) => [id, index]));
  return activities
    .flatMap((activity) => {
      if (activity.kind === 'test' || activity.kind === 'swap' || activity.kind === 'duty') return [];
      const machine = machineOf.get(activity.machine);
      const bath = bathOf.get(activity.bath);
      if (machine === undefined || bath === undefined) return [];
      const { kind, start, end } = activity;
      return { kind, machine, bath, start, end, fixed: fixed.has(activity) };
    })
    .sort((a, b) => a.start - b.start);
}

/** The same, of a plan that has this history in it. */
export function piecesWith(
  problem: Problem,
  activities: readonly Activity[],
  history: readonly Activity[],
): Piece[] {
  const past = new Set(history.map((activity) => JSON.stringify(activity)));
  const fixed = activities.filter((activity) => past.has(JSON.stringify(activity)));
  return piecesOf(problem, activities, new Set(fixed));
}

/** When the machine is free again: a fill's bags have to come off first. */
export const doneAt = ({ rules }: Problem, { kind, end }: Pick<Piece, 'kind' | 'end'>): number =>
  end + (kind === 'fill' ? rules.swapMinutes : 0);

/** What activities are worth, without the rows and names of a whole plan: for where many are compared. */
export function worthOf(problem: Problem, demand: Demand, activities: readonly Activity[]): Score {
  const lots = lotsOfPieces(problem, piecesOf(problem, activities, new Set()));
  return scoreOf(problem, activities, cover(problem, demand, lots));
}

/** What the fills among the pieces make, in their order; nameless, since naming lots by local time takes long. */
export function lotsOfPieces({ rules, machines, bagParts }: Problem, pieces: readonly Piece[]): Lot[] {
  const { swapMinutes, releaseMinutes, shelf } = rules;
  return pieces.flatMap(({ kind, machine, bath, end }) =>
    kind === 'fill'
      ? {
          id: '',
          origin: 'fill' as const,
          bath,
          bags: machines[machine]!.positions,
          bagParts,
          ready: end + swapMinutes + releaseMinutes,
          expires: end + shelf,
        }
      : [],
  );
}

export interface Replayed {
  /** Of what stands, in order of time. */
  readonly pieces: Piece[];
  readonly ledger: Ledger;
  /** Nothing that was asked for was left out. */
  readonly whole: boolean;
}

/**
 * Writes a plan down once more, each piece at its own minutes, and leaves out what breaks a rule there (and, after a
 * circuit or a bath change left out, what cannot go on without it). What comes out is valid if history is.
 * @param pieces in order of time
 * @param activities the tests among these are taken where there are hands for them; more are put in where water needs them
 */
export function replay(
  problem: Problem,
  pieces: readonly Piece[],
  activities: readonly Activity[],
  history: readonly Activity[],
  now: number,
): Replayed {
  const { rules, machines, water } = problem;
  const ledger = new Ledger(problem, now);
  const runOf = ({ kind, bath, start, end }: Piece): Run => ({ kind, bath, start, minutes: end - start });
  const past = new Set(history);
  const waterOf = new Map(water.map(({ id }, index) => [id, index]));
  for (const piece of pieces) if (piece.fixed) ledger.assume(piece.machine, runOf(piece));
  const known = new Set<string>();
  const takeTests = (asked: boolean) => {
    for (const activity of asked ? activities : history) {
      const source = waterOf.get(placeOf(activity));
      const name = `${placeOf(activity)} ${activity.start}`;
      if (activity.kind !== 'test' || source === undefined || known.has(name)) continue;
      if (asked && (past.has(activity) || activity.start < now)) continue;
      if (asked && activity.end - activity.start !== water[source]!.testMinutes) continue;
      if (ledger.takeTest(source, activity.start, asked)) known.add(name);
    }
  };
  takeTests(false);
  takeTests(true);
  const state = machines.map(({ loaded }) => ({
    bath: loaded?.bath ?? -1,
    since: loaded?.since ?? Number.NaN,
    free: 0,
  }));
  const stands = pieces.filter((piece) => {
    const { kind, machine, bath, start, fixed } = piece;
    const at = state[machine]!;
    const done = doneAt(problem, piece);
    if (!fixed) {
      if (start < Math.max(at.free, now) || !machines[machine]!.baths.includes(bath)) return false;
      if (kind !== 'circuit' && (at.bath < 0 || !(done <= at.since + rules.circuitLife))) return false;
      if (kind === 'fill' && at.bath !== bath) return false;
      if (!ledger.take(machine, runOf(piece))) return false;
    }
    if (kind === 'circuit') at.since = start;
    at.bath = bath;
    at.free = done;
    return true;
  });
  return {
    pieces: stands,
    ledger,
    whole: stands.length === pieces.length,
  };
}

/** Where a machine is in its work: from when on it is free, and since when its circuit is in place; not a number: it has none. */
export interface At {
  readonly free: number;
  readonly since: number;
}

/** @param pieces what the machine does before, all of it, in order of time */
export function atAfter(problem: Problem, machine: number, pieces: readonly Piece[], now: number): At {
  const circuit = pieces.findLast(({ kind }) => kind === 'circuit');
  return {
    free: Math.max(now, 0, ...pieces.map((piece) => doneAt(problem, piece))),
    since: circuit?.start ?? problem.machines[machine]!.loaded?.since ?? Number.NaN,
  };
}

/**
 * Enters what a machine does next: at the minutes at which it stood, where they are still free, or else as soon as may be.
 * @param own how it stood; undefined: it is new
 * @param from else it begins no earlier than this
 * @param until it ends by then, its swap too
 * @returns null when there is no room or its circuit would be too old; a set-up that ends too late stays entered
 */
export function enterNext(
  { rules }: Problem,
  ledger: Ledger,
  { kind, bath, machine }: Pick<Piece, 'kind' | 'bath' | 'machine'>,
  own: Piece | undefined,
  { free, since }: At,
  from: number,
  until: number,
): { piece: Piece; at: At; asBefore: boolean } | null {
  const swap = kind === 'fill' ? rules.swapMinutes : 0;
  const by = Math.min(until, kind === 'circuit' ? Number.POSITIVE_INFINITY : since + rules.circuitLife);
  if (Number.isNaN(by)) return null;
  const stood = own && { kind, bath, start: own.start, minutes: own.end - own.start };
  const asBefore = stood && stood.start >= free && own.end + swap <= by && ledger.take(machine, stood);
  const run = asBefore ? stood : ledger.enter(machine, kind, bath, Math.max(free, from), by - swap, by);
  if (!run) return null;
  const end = run.start + run.minutes;
  if (end + swap > by) return null;
  const piece = { kind, machine, bath, start: run.start, end, fixed: false };
  const at = { free: end + swap, since: kind === 'circuit' ? run.start : since };
  return { piece, at, asBefore: asBefore === true };
}

/** Without the tests that no minute of flow needs; those of history stay. The last to be spared is the first in time. */
export function neededTests(
  problem: Problem,
  activities: readonly Activity[],
  fixed: readonly Activity[],
): Activity[] {
  const waterOfMachine = new Map(problem.machines.map(({ id, water }) => [id, problem.water[water]!.id]));
  const past = new Set(fixed.map(signOf));
  const idle = new Set<Activity>();
  for (const { id, testEvery, lastTest } of problem.water) {
    const flows = new Uint8Array(problem.horizon);
    for (const activity of activities)
      if ('bath' in activity && waterOfMachine.get(activity.machine) === id)
        flows.fill(1, activity.start, activity.end);
    const serves = new Int16Array(problem.horizon);
    const each = (end: number, act: (minute: number) => void) => {
      for (let t = Math.max(0, end); t <= Math.min(problem.horizon - 1, end + testEvery); t++) act(t);
    };
    const add = (by: number) => (t: number) => {
      serves[t]! += by;
    };
    if (lastTest !== null) each(lastTest, add(1));
    const tests = activities.filter((activity) => activity.kind === 'test' && activity.water === id);
    for (const { end } of tests) each(end, add(1));
    for (const test of [...tests].sort((a, b) => b.start - a.start)) {
      let needed = past.has(signOf(test));
      each(test.end, (t) => {
        if (flows[t] && serves[t] === 1) needed = true;
      });
      if (needed) continue;
      each(test.end, add(-1));
      idle.add(test);
    }
  }
  return activities.filter((activity) => !idle.has(activity));
}

const signOf = (activity: Activity): string => `${placeOf(activity)} ${activity.kind} ${activity.start}`;
