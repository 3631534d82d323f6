import { add, compare, divide, type Fraction, floor, multiply, subtract, whole } from '../exact/fraction.ts';
import type { Course, Problem } from '../scenario/problem/types.ts';

/** A bag at the bedside: its bath, when it was hung, min, and what is left in it, mL. */
interface Open {
  readonly bath: number;
  readonly hungAt: Fraction;
  readonly left: Fraction;
}
/** A stretch of therapy, [from, to), under one prescription. */
interface Stretch {
  readonly bath: number;
  readonly rate: Fraction;
  readonly from: number;
  readonly to: number;
}

const least = (a: Fraction, b: Fraction): Fraction => (compare(a, b) <= 0 ? a : b);

/** Therapy of a patient, session by session, each cut where the prescription changes. */
function therapyOf({ from, until, sessions, steps }: Course, horizon: number): Stretch[][] {
  return (sessions ?? [{ from, to: until }]).map((session) => {
    const first = Math.max(0, from, session.from);
    const last = Math.min(horizon, until, session.to);
    return steps
      .map(({ bath, rate, at }, index) => ({
        bath,
        rate,
        from: index === 0 ? first : Math.max(first, at),
        to: Math.min(last, steps[index + 1]?.at ?? last),
      }))
      .filter((stretch) => stretch.from < stretch.to);
  });
}

/** The minutes at which bags are hung in one session, with their baths. */
function* hungIn(stretches: readonly Stretch[], bagMl: Fraction, maxHang: Fraction) {
  let open: Open | null = null;
  for (const { bath, rate, from, to } of stretches) {
    const end = whole(to);
    let now = whole(from);
    if (open && open.bath === bath) {
      const gone = add(open.hungAt, maxHang);
      const over: Fraction = rate.n > 0n ? least(gone, add(now, divide(open.left, rate))) : gone;
      if (compare(over, end) > 0) {
        const left: Fraction = subtract(open.left, multiply(rate, subtract(end, now)));
        open = { bath, hungAt: open.hungAt, left };
        continue;
      }
      now = compare(over, now) > 0 ? over : now;
    }
    open = null;
    if (rate.n === 0n) continue;
    // Bags of one length follow each other: so many begin and end in this stretch.
    const life = least(divide(bagMl, rate), maxHang);
    const fitting = floor(divide(subtract(end, now), life));
    const [n, step, d] = [now.n * life.d, life.n * now.d, now.d * life.d];
    for (let bag = 0n; bag < fitting; bag++) yield { bath, minute: Number((n + bag * step) / d) };
    const rest = add(now, multiply(whole(fitting), life));
    if (compare(rest, end) >= 0) continue;
    yield { bath, minute: floor(rest) };
    open = { bath, hungAt: rest, left: subtract(bagMl, multiply(rate, subtract(end, rest))) };
  }
}

/**
 * Bags by [bath][round], counted a second time and apart from `demandOf`: stretch by stretch of one prescription, so many
 * bags as go into it, so that a fault in either count shows.
 */
export function recountDemand(problem: Problem): number[][] {
  const { horizon, rounds, dueNow } = problem;
  const { bagMl, maxHang } = problem.rules;
  const bags = problem.baths.map(() => rounds.map(() => 0));
  for (const course of problem.patients)
    for (const session of therapyOf(course, horizon))
      for (const { bath, minute } of hungIn(session, bagMl, maxHang)) {
        const index = rounds.findIndex(({ from, to }) => from <= minute && minute < to);
        if (index >= 0) bags[bath]![index]! += 1;
      }
  return dueNow ? bags.map((byRound, bath) => byRound.with(0, dueNow[bath]!)) : bags;
}
