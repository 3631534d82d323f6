import { type Demand, demandOf } from '../../demand/demand.ts';
import { type Activity, placeOf } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { Clerk, type Run, type Span } from '../schedule/clerk.ts';
import { doneAt, type Piece } from '../schedule/pieces.ts';

/** What a repair works within. */
export interface Setting {
  readonly problem: Problem;
  readonly demand: Demand;
  /** Of the plan before, what is fixed and taken unasked. */
  readonly history: readonly Activity[];
  /** Nothing else begins before this minute. */
  readonly now: number;
}

interface Replayed {
  /** Of what stands, in order of time. */
  readonly pieces: Piece[];
  readonly clerk: Clerk;
  /** Nothing that was asked for was left out. */
  readonly whole: boolean;
}

/** A setting for a problem; without history, the plan may change from the start on. */
export const settingOf = (problem: Problem, history: readonly Activity[] = [], now = 0): Setting => ({
  problem,
  demand: demandOf(problem),
  history,
  now,
});

/** What a machine holds while a plan is written down. */
interface Held {
  bath: number;
  since: number;
  free: number;
}

/**
 * Writes a plan down once more, each piece at its own minutes, and leaves out what breaks a rule there (and, after a
 * circuit or a bath change left out, what cannot go on without it). What comes out is valid if history is.
 * @param pieces in order of time
 * @param activities the tests among these are taken where there are hands for them; more are put in where water needs them
 */
export function replay(
  setting: Setting,
  pieces: readonly Piece[],
  activities: readonly Activity[],
): Replayed {
  const { problem, now } = setting;
  const clerk = new Clerk(problem, now);
  for (const piece of pieces) if (piece.fixed) clerk.assume(piece.machine, runOf(piece));
  const dutyKey = (duty: string, due: number) => `${duty} ${due}`;
  const duties = new Map(
    activities.flatMap((one) =>
      one.kind === 'duty' ? [[dutyKey(one.duty, one.at), one.start] as const] : [],
    ),
  );
  clerk.assumeAll(setting.history.filter(({ kind }) => kind === 'duty'));
  clerk.placeDuties((duty, due) => duties.get(dutyKey(duty, due)));
  takeTests(setting, clerk, activities);
  const held = problem.machines.map(
    ({ loaded }): Held => ({ bath: loaded?.bath ?? -1, since: loaded?.since ?? Number.NaN, free: 0 }),
  );
  const stands = pieces.filter((piece) => {
    const mine = held[piece.machine]!;
    if (!piece.fixed && !(goesOn(clerk, piece, mine, now) && clerk.take(piece.machine, runOf(piece))))
      return false;
    if (piece.kind === 'circuit') mine.since = piece.start;
    mine.bath = piece.bath;
    mine.free = doneAt(problem, piece);
    return true;
  });
  return { pieces: stands, clerk, whole: stands.length === pieces.length };
}

const runOf = ({ kind, bath, start, end }: Piece): Run => ({ kind, bath, start, minutes: end - start });

/** Whether a machine that stands so may do this next. */
function goesOn(clerk: Clerk, piece: Piece, held: Held, now: number): boolean {
  const { problem } = clerk;
  const { kind, machine, bath, start } = piece;
  if (start < Math.max(held.free, now) || !problem.machines[machine]!.baths.includes(bath)) return false;
  const lasts = doneAt(problem, piece) <= clerk.lifeEnd(machine, held.since);
  if (kind !== 'circuit' && (held.bath < 0 || !lasts)) return false;
  return kind !== 'fill' || held.bath === bath;
}

/** Enters the tests of history, unasked, then those of a plan where there are hands for them. */
function takeTests({ problem, history, now }: Setting, clerk: Clerk, plan: readonly Activity[]): void {
  const past = new Set(history);
  const waterOf = new Map(problem.water.map(({ id }, index) => [id, index]));
  const known = new Set<string>();
  const take = (activity: Activity, asked: boolean) => {
    const source = waterOf.get(placeOf(activity));
    const name = `${placeOf(activity)} ${activity.start}`;
    if (activity.kind !== 'test' || source === undefined || known.has(name)) return;
    if (asked && (past.has(activity) || activity.start < now)) return;
    if (asked && activity.end - activity.start !== problem.water[source]!.testMinutes) return;
    if (clerk.takeTest(source, activity.start, asked)) known.add(name);
  };
  for (const activity of history) take(activity, false);
  for (const activity of plan) take(activity, true);
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
 * @param span else it begins no earlier than `from` and ends by `until`, its swap too
 * @returns null when there is no room or its circuit would be too old; a set-up that ends too late stays entered
 */
export function enterNext(
  clerk: Clerk,
  {
    kind,
    bath,
    machine,
    own,
  }: Pick<Piece, 'kind' | 'bath' | 'machine'> & { readonly own?: Piece | undefined },
  { free, since }: At,
  { from, until }: { readonly from: number; readonly until: number },
): { piece: Piece; at: At; asBefore: boolean } | null {
  const { rules } = clerk.problem;
  const swap = kind === 'fill' ? rules.swapMinutes : 0;
  const by = Math.min(until, kind === 'circuit' ? Number.POSITIVE_INFINITY : clerk.lifeEnd(machine, since));
  if (Number.isNaN(by)) return null;
  const stood = own && { kind, bath, start: own.start, minutes: own.end - own.start };
  const asBefore = stood && stood.start >= free && own.end + swap <= by && clerk.take(machine, stood);
  const span: Span = { from: Math.max(free, from), latest: by - swap, swapBy: by };
  const run = asBefore ? stood : clerk.enter(machine, kind, bath, span);
  if (!run) return null;
  const end = run.start + run.minutes;
  if (end + swap > by) return null;
  const piece = { kind, machine, bath, start: run.start, end, fixed: false };
  const at = { free: end + swap, since: kind === 'circuit' ? run.start : since };
  return { piece, at, asBefore: asBefore === true };
}
