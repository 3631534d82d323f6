import { add, compare, divide, type Fraction, multiply, subtract, whole } from '../exact/fraction.ts';
import type { Course, Problem, Span } from '../scenario/problem/types.ts';

/** A bag hung at a patient's bed in a whole minute. */
export interface Hang {
  readonly bath: number;
  readonly minute: number;
}
export interface Demand {
  /** By patient, in the scenario's order; in order of time. */
  readonly hangs: readonly (readonly Hang[])[];
  /** Bags by [bath][round]; of round 0 what is due now, where a day under way is planned on (`Problem.dueNow`). */
  readonly bags: readonly (readonly number[])[];
}

type Bag = { hungAt: Fraction; left: Fraction };

/** What a bag holds, mL, and after how many minutes one that hangs is discarded. */
interface Hanging {
  readonly bagMl: Fraction;
  readonly maxHang: Fraction;
}

/**
 * The minutes at which one patient's bags hang (M7, M9): one at the start, one each time a bag has
 * run through, at a change of bath, or when one has hung for too long. A dose change alone goes on with the open bag.
 * With sessions each of them begins and ends so: what is open at its end is discarded.
 * @param bagMl mL that a bag holds
 * @param maxHang min after which a hung bag is discarded
 * @param horizon min
 */
export function hangsOf(course: Course, bagMl: Fraction, maxHang: Fraction, horizon: number): Hang[] {
  return stretchesOf(course, horizon).flatMap((span) => hangsWithin(course, span, { bagMl, maxHang }).hangs);
}

/** When therapy runs, until a minute. */
function stretchesOf(course: Course, to: number): Span[] {
  const from = Math.max(0, course.from);
  const until = Math.min(course.until, to);
  return (course.sessions ?? [{ from, to: until }]).map((span) => ({
    from: Math.max(from, span.from),
    to: Math.min(until, span.to),
  }));
}

/** The bag that hangs at a minute and goes on: since when (min), what is left in it (mL), both exact; null: none does. */
export function bagAt(
  course: Course,
  bagMl: Fraction,
  maxHang: Fraction,
  minute: number,
): { readonly hungAt: Fraction; readonly left: Fraction } | null {
  const { until, sessions, steps } = course;
  const goesOn =
    minute < until && (!sessions || sessions.some(({ from, to }) => from < minute && minute < to));
  const span = stretchesOf(course, minute).findLast(({ from, to }) => from < to);
  const bathOf = (at: number) => (steps.findLast((step) => step.at <= at) ?? steps[0])!.bath;
  if (!goesOn || span?.to !== minute || bathOf(minute) !== bathOf(minute - 1)) return null;
  return hangsWithin(course, span, { bagMl, maxHang }).bag;
}

/** The hangs of one stretch of therapy, which begins without a bag but for one that hangs at minute 0, and the bag at its end. */
function hangsWithin(
  { steps, open, from: begun }: Course,
  span: Span,
  { bagMl, maxHang }: Hanging,
): { hangs: Hang[]; bag: Bag | null } {
  const { from: start, to: end } = span;
  const hangs: Hang[] = [];
  if (start >= end) return { hangs, bag: null };
  const last = whole(end);
  let step = Math.max(
    0,
    steps.findLastIndex(({ at }) => at <= start),
  );
  let now = whole(start);
  let bag: Bag | null = null;
  if (open && start === 0 && begun <= 0) {
    const hungAt = whole(open.hungAt);
    if (compare(add(hungAt, maxHang), now) > 0) bag = { hungAt, left: open.left };
  }
  for (;;) {
    const { bath, rate } = steps[step]!;
    const next = steps[step + 1];
    const until = next && next.at < end ? whole(next.at) : last;
    if (!bag && rate.n > 0n) {
      // As long as nothing changes, bags follow each other at a fixed distance.
      const runThrough = divide(bagMl, rate);
      const period = compare(runThrough, maxHang) <= 0 ? runThrough : maxHang;
      const d = now.d * period.d;
      const stride = period.n * now.d;
      const limit = until.n * d;
      let at = now.n * period.d;
      for (; at < limit; at += stride) hangs.push({ bath, minute: Number(at / d) });
      now = { n: at - stride, d };
      bag = { hungAt: now, left: bagMl };
    }
    let event = until;
    if (bag) {
      const gone = add(bag.hungAt, maxHang);
      const dry: Fraction = rate.n > 0n ? add(now, divide(bag.left, rate)) : gone;
      const empty: Fraction = compare(dry, gone) < 0 ? dry : gone;
      if (compare(empty, event) <= 0) event = empty;
      bag =
        event === empty
          ? null
          : { hungAt: bag.hungAt, left: subtract(bag.left, multiply(rate, subtract(event, now))) };
    }
    now = event;
    if (compare(now, last) >= 0) return { hangs, bag };
    if (next && compare(now, whole(next.at)) >= 0) {
      step += 1;
      if (next.bath !== bath) bag = null;
    }
  }
}

const known = new WeakMap<Course, { key: string; hangs: Hang[] }>();

/**
 * Bags by bath and round, and every hang behind them. A course seen before under the same rules is not counted again,
 * so one edited patient costs one patient.
 */
export function demandOf(problem: Problem): Demand {
  const { bagMl, maxHang } = problem.rules;
  const key = `${bagMl.n}/${bagMl.d} ${maxHang.n}/${maxHang.d} ${problem.horizon}`;
  const hangs = problem.patients.map((course) => {
    const before = known.get(course);
    if (before?.key === key) return before.hangs;
    const counted = hangsOf(course, bagMl, maxHang, problem.horizon);
    known.set(course, { key, hangs: counted });
    return counted;
  });
  const roundAt = roundFinder(problem);
  const bags = problem.baths.map(() => new Array<number>(problem.rounds.length).fill(0));
  for (const list of hangs) for (const { bath, minute } of list) bags[bath]![roundAt(minute)]! += 1;
  problem.dueNow?.forEach((due, bath) => {
    bags[bath]![0] = due;
  });
  return { hangs, bags };
}

/**
 * The index of the round that covers a bag hung in a minute; 0 for one before what the first round covers, which only a
 * problem planned on from within has: its round 0 needs what `dueNow` says, whatever hangs.
 */
export function roundFinder(problem: Problem): (minute: number) => number {
  const of = new Int32Array(problem.horizon);
  for (const round of problem.rounds) of.fill(round.index, round.from, round.to);
  return (minute) => of[minute]!;
}

/** Bags hung in each 24 h of the horizon, by [bath][day]. */
export function bagsByDay(problem: Problem, demand: Demand): number[][] {
  const days = Math.ceil(problem.horizon / 1440);
  const table = problem.baths.map(() => new Array<number>(days).fill(0));
  for (const list of demand.hangs)
    for (const { bath, minute } of list) table[bath]![Math.floor(minute / 1440)]! += 1;
  return table;
}
