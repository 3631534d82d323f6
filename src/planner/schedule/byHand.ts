import { demandOf } from '../../demand/demand.ts';
import { cover } from '../../plan/cover.ts';
import type { Activity } from '../../plan/plan.ts';
import { MINUTES_A_DAY, type Problem } from '../../scenario/problem/types.ts';
import { Clerk, NEVER, type Run } from './clerk.ts';
import { askForDuties } from './placeDuties.ts';

/** Bags of a bath that something must make, good from..to. */
interface Need {
  readonly bath: number;
  /** Ready by this minute. */
  readonly by: number;
  /** Not expired before this one. */
  readonly to: number;
  /** Parts of a litre still to make. */
  parts: number;
}
interface Hand {
  readonly machine: number;
  at: number;
  circuit: { bath: number; since: number } | null;
}
interface Step {
  readonly fill: Run;
  readonly setUp: Run | null;
}

/**
 * The plan that a careful person makes without a computer: whichever machine is free first fills for the earliest round
 * that still wants bags, stays with its bath while that round wants it, takes a new circuit when the old one would end,
 * and tests water when a test is due. Valid by the rules of a valid plan (V1 to V10), never clever: the baseline to beat.
 * @param whim in [0, 1); given, the person wavers between needs and dawdles: other valid plans of the same kind
 * @returns activities in the order they were decided
 */
export function planByHand(problem: Problem, whim?: () => number): Activity[] {
  const { rules, machines } = problem;
  if (problem.now === 0) askForDuties(problem);
  const clerk = new Clerk(problem, problem.now);
  clerk.placeDuties();
  const needs = needsOf(problem);
  const toBags = rules.swapMinutes + rules.releaseMinutes;
  let hands: Hand[] = machines
    .map(({ loaded }, machine) => ({ machine, at: problem.now, circuit: loaded }))
    .filter(({ machine }) => machines[machine]!.shortest <= machines[machine]!.longest);
  while (hands.length > 0) {
    const hand = hands.reduce((first, other) => (other.at < first.at ? other : first));
    const { baths, shortest, usable } = machines[hand.machine]!;
    const open = needs.filter(({ bath, by, to, parts }) => {
      const begin = Math.max(hand.at, to - rules.shelf - shortest);
      return parts > 0 && baths.includes(bath) && begin + shortest + toBags <= by;
    });
    if (whim && open.length > 1 && whim() < 0.3) open.unshift(open[Math.floor(whim() * open.length)]!);
    else stayWithBath(open, hand.circuit?.bath);
    const tooLate = new Map<number, number>();
    let done: Step | null = null;
    for (const need of open) {
      const from = Math.max(hand.at, need.to - rules.shelf - shortest);
      if ((tooLate.get(need.bath) ?? -1) >= need.by) continue;
      const mark = clerk.mark();
      const dawdle = whim && whim() < 0.2 ? Math.floor(whim() * 200) : 0;
      const step = fillOn(clerk, hand, need.bath, from + dawdle);
      const released = step ? clerk.releasedBy(hand.machine, ready(step.fill), need.by) : 0;
      if (step && Math.max(ready(step.fill) + toBags, released) <= need.by) {
        done = step;
        break;
      }
      clerk.backTo(mark);
      tooLate.set(
        need.bath,
        step && released <= need.by ? ready(step.fill) + toBags - 1 : step ? need.by : NEVER,
      );
    }
    if (!done) {
      hands = hands.filter((other) => other !== hand);
      continue;
    }
    const { fill, setUp } = done;
    if (setUp)
      hand.circuit = { bath: fill.bath, since: setUp.kind === 'circuit' ? setUp.start : hand.circuit!.since };
    hand.at = ready(fill) + rules.swapMinutes;
    const soonest = Math.max(ready(fill) + toBags, clerk.releaseOf(hand.machine, ready(fill)));
    const made = { from: soonest, expires: ready(fill) + rules.shelf };
    serve(needs, fill.bath, usable * problem.bagParts, made);
  }
  return clerk.activities;
}

const ready = ({ start, minutes }: Run): number => start + minutes;

/** What stock and deliveries leave wanting, the reserve as a last round; in order of time. */
function needsOf(problem: Problem): Need[] {
  const { unmet, reserveShort } = cover(problem, demandOf(problem), []);
  const last = { at: problem.horizon, to: problem.horizon + MINUTES_A_DAY };
  return [...problem.rounds, last]
    .flatMap(({ at, to }, round) =>
      problem.baths.map((_, bath) => ({
        bath,
        by: at,
        to,
        parts: unmet[bath]![round] ?? reserveShort[bath]!,
      })),
    )
    .filter(({ parts }) => parts > 0);
}

/** Of the needs of the first round, the loaded bath's comes first. */
function stayWithBath(open: Need[], loaded: number | undefined): void {
  const same = open.findIndex(({ bath, by }) => bath === loaded && by === open[0]!.by);
  if (same > 0) open.unshift(...open.splice(same, 1));
}

function serve(
  needs: Need[],
  bath: number,
  parts: number,
  { from, expires }: { from: number; expires: number },
): void {
  let left = parts;
  for (const need of needs) {
    if (left === 0) return;
    if (need.bath !== bath || from > need.by || expires < need.to) continue;
    const taken = Math.min(left, need.parts);
    need.parts -= taken;
    left -= taken;
  }
}

/** Enters the next fill of a bath on a machine, with the change of bath or the circuit that it wants first. */
function fillOn(clerk: Clerk, hand: Hand, bath: number, from: number): Step | null {
  const { machine, circuit } = hand;
  const mark = clerk.mark();
  const endBy = circuit ? clerk.lifeEnd(machine, circuit.since) : 0;
  if (circuit && endBy > from) {
    const setUp = circuit.bath === bath ? null : clerk.enter(machine, 'bath', bath, { from, latest: endBy });
    if (setUp || circuit.bath === bath) {
      const begin = setUp ? ready(setUp) : from;
      const fill = clerk.enter(machine, 'fill', bath, { from: begin, latest: endBy, swapBy: endBy });
      if (fill) return { fill, setUp };
    }
    clerk.backTo(mark);
  }
  return fillOnNew(clerk, machine, bath, from);
}

/** The same on a new circuit. */
function fillOnNew(clerk: Clerk, machine: number, bath: number, from: number): Step | null {
  const { rules, horizon } = clerk.problem;
  const { circuitLife, circuitMinutes } = rules;
  const mark = clerk.mark();
  const circuit = (begin: number, latest = horizon) =>
    clerk.enter(machine, 'circuit', bath, { from: begin, latest });
  // A duty that takes the circuit out before the fill is done: then a new one after it.
  const dutyAfter = (setUp: Run) => {
    const ends = clerk.lifeEnd(machine, setUp.start);
    return ends < setUp.start + circuitLife ? ends : NEVER;
  };
  const filled = (setUp: Run) =>
    clerk.enter(machine, 'fill', bath, { from: ready(setUp), latest: horizon, swapBy: dutyAfter(setUp) });
  let begin = from;
  for (let tries = 0; tries < 20; tries++) {
    const setUp = circuit(begin);
    if (!setUp) break;
    const fill = filled(setUp);
    if (!fill && dutyAfter(setUp) < horizon) {
      clerk.backTo(mark);
      begin = dutyAfter(setUp);
      continue;
    }
    if (!fill) break;
    const late = ready(fill) + rules.swapMinutes - circuitLife;
    const wait = fill.start - ready(setUp);
    if (setUp.start >= late && wait <= circuitMinutes) return { fill, setUp };
    // Nobody lets a new circuit stand for hours: put it in shortly before the fill that it is for.
    clerk.backTo(mark);
    const nearer = Math.max(late, fill.start - circuitMinutes, setUp.start + 1);
    const moved = circuit(nearer, fill.start - circuitMinutes);
    const then = moved && filled(moved);
    if (moved && then && then.start <= fill.start + circuitMinutes) return { fill: then, setUp: moved };
    clerk.backTo(mark);
    if (setUp.start >= late) {
      const again = circuit(begin);
      const whole = again && filled(again);
      return again && whole ? { fill: whole, setUp: again } : null;
    }
    begin = Math.max(nearer, late);
  }
  clerk.backTo(mark);
  return null;
}
