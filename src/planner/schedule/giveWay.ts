import type { Floor } from './floor.ts';
import { type Occupancy, STRIDE } from './occupancy.ts';
import { obstacleTo } from './placeDuties.ts';
import { FILL, NEVER, SWAP, TEST, type Work } from './work.ts';

/** A test is moved up by at most so many minutes: each of them brings the next test nearer. */
const TEST_UP = 30;
/** So many swaps in a row may be put off for one. */
const CHAIN = 2;

/** Hands for work at a machine, for so many minutes from a minute on, of which some are taken. */
interface Wanted {
  readonly kind: number;
  readonly machine: number;
  readonly from: number;
  readonly length: number;
  /** First and last minute, those of walking too, at which too few are free: only what takes hands at both can make room. */
  readonly lacksFrom: number;
  readonly lacksTo: number;
}
/** A swap that is to make room: when it is booked, the bags that waiting for it costs, and how many more may be put off. */
interface Swap {
  readonly booked: number;
  readonly bags: number;
  readonly chain: number;
}

/**
 * Where one technician is wanted at two machines, who waits? A schedule that books one machine after the other lets the
 * one booked last wait, and on nights with one technician that costs more bags than anything else. Here what is booked
 * already gives way: a test is made a little sooner, a swap a little later within the window of its fill, when that
 * costs fewer bags than waiting does.
 */
export class GiveWay {
  private readonly floor: Floor;
  private readonly held: Occupancy;
  /** Bags that a machine makes in a minute, at most. */
  private readonly rate: readonly number[];
  /** Duties that take hands and may be at another minute. */
  private readonly yielding: readonly number[];
  private readonly filling: Work = { kind: FILL, place: 0, bath: 0, segment: -1 };

  constructor(floor: Floor) {
    this.floor = floor;
    this.held = floor.held;
    const { machines, rules } = floor.problem;
    this.yielding = this.held.duties.all.flatMap(({ technicians, from, latest }, one) =>
      technicians > 0 && from < latest ? one : [],
    );
    this.rate = machines.map(({ usable, shortest }) => usable / (shortest + rules.swapMinutes));
  }

  /** First minute from `from` on at which there are hands for work of `length` minutes at a machine, or are made free. */
  handsFree(kind: number, machine: number, from: number, length: number): number {
    const hands = this.held.hands.from(kind, machine, from, length);
    if (hands === from || from + length > this.held.problem.horizon) return hands;
    const wanted = this.wanted(kind, machine, from, length);
    if (!wanted) return hands;
    if (hands >= NEVER) return this.dutyOff(wanted) ? from : hands;
    const bags = (hands - from) * this.rate[machine]!;
    return this.testUp(wanted) || this.swapOff(wanted, bags, CHAIN) || this.dutyOff(wanted) ? from : hands;
  }

  /** Hands that are wanted and not there; null: nobody could give way, since too few are on shift. */
  private wanted(kind: number, machine: number, from: number, length: number): Wanted | null {
    const { hands, problem } = this.held;
    const technicians = hands.of(kind, machine);
    const begin = from - hands.walkBefore(kind, machine, from);
    const lacksFrom = hands.takenIn(technicians, begin, from + length, false);
    const lacksTo = hands.takenIn(technicians, begin, from + length, true);
    if (problem.staff[lacksFrom]! < technicians || problem.staff[lacksTo]! < technicians) return null;
    return { kind, machine, from, length, lacksFrom, lacksTo };
  }

  /** Whether there are hands for what is wanted; `take` holds them for a moment (-1) and lets them go (1). */
  private served({ kind, machine, from, length }: Wanted): boolean {
    return this.held.hands.there(kind, machine, from, length);
  }

  private servedWithout(op: number, wanted: Wanted): boolean {
    this.held.release(op);
    const helps = this.served(wanted);
    this.held.hold(op);
    return helps;
  }

  private take({ kind, machine, from, length }: Wanted, sign: number): void {
    const { hands } = this.held;
    hands.add(from - hands.walkBefore(kind, machine, from), from + length, sign * hands.of(kind, machine));
  }

  /** Makes room by an earlier test, if one stands in the way and no flow booked behind it loses its test. */
  private testUp(wanted: Wanted): boolean {
    const { held } = this;
    const { water, machines } = held.problem;
    const walk = held.hands.walk;
    const { lacksFrom, lacksTo } = wanted;
    const until = wanted.from + wanted.length;
    for (let w = 0; w < water.length; w++) {
      const ends = held.tests.ends[w]!;
      const { testMinutes } = water[w]!;
      let i = ends.length - 1;
      while (i >= 0 && ends[i]! - testMinutes - walk >= until) i--;
      const start = i < 0 ? NEVER : ends[i]! - testMinutes;
      if (start - walk > lacksFrom || start + testMinutes <= lacksTo) continue;
      const op = this.testOp(w, ends[i]!);
      if (op < 0) continue;
      held.release(op);
      const helps = this.served(wanted);
      this.take(wanted, -1);
      const moved = helps ? held.testBefore(w, start) : -1;
      this.take(wanted, 1);
      held.hold(op);
      if (moved < held.now || start - moved > TEST_UP) continue;
      if (i > 0 && moved + testMinutes <= ends[i - 1]!) continue;
      if (walk > 0 && ends[i + 1] === ends[i]! + testMinutes) continue;
      const serves = held.tests.servesTo(w, moved + testMinutes);
      const followed = i + 1 < ends.length && ends[i + 1]! <= serves;
      if (!followed && machines.some((machine, m) => machine.water === w && held.ready[m]! > serves))
        continue;
      if (held.problem.rules.releaseAfterTest && this.filledSince(w, moved, start)) continue;
      held.retime(op, moved, moved + testMinutes);
      return true;
    }
    return false;
  }

  /** Whether a fill on a source ended in after..until: a test that moves from the one to the other minute would not release it. */
  private filledSince(w: number, after: number, until: number): boolean {
    const { ops, count, problem } = this.held;
    for (let at = (count - 1) * STRIDE; at >= 0; at -= STRIDE)
      if (ops[at] === FILL && problem.machines[ops[at + 1]!]!.water === w)
        if (ops[at + 4]! > after && ops[at + 4]! <= until) return true;
    return false;
  }

  /** Makes room by another minute of a duty within its slack. */
  private dutyOff(wanted: Wanted): boolean {
    const { held } = this;
    const { duties, hands } = held;
    for (const one of this.yielding) {
      if (duties.start[one]! - hands.walk > wanted.lacksFrom || duties.end(one) <= wanted.lacksTo) continue;
      // Its own machine is being booked just now.
      if (duties.all[one]!.machine === wanted.machine) continue;
      if (this.moveDuty(one, 0, NEVER, wanted)) return true;
    }
    return false;
  }

  /**
   * Moves a duty to the minute of from..to nearest to its own, if it may begin then and nothing booked behind it is touched.
   * @param wanted hands that must be free then
   */
  moveDuty(one: number, from: number, to: number, wanted?: Wanted): boolean {
    const { held } = this;
    const { duties } = held;
    const { from: first, latest, minutes } = duties.all[one]!;
    const old = duties.start[one]!;
    if (first === latest) return false;
    const behind = this.bookedAtPlace(one);
    const lowest = Math.max(first, from, behind, held.now);
    const highest = Math.min(latest, to);
    if (old < behind || lowest > highest || (held.hands.walk > 0 && this.follows(one))) return false;
    const op = duties.op[one]!;
    // Most often its hands are not what is lacking: asked first, before water and walks are booked anew.
    if (wanted && !this.servedWithout(op, wanted)) return false;
    held.takeOut(op);
    if (wanted) this.take(wanted, -1);
    const other = this.nearest(one, old, lowest, highest);
    if (wanted) this.take(wanted, 1);
    held.putBack(op);
    if (other >= NEVER) return false;
    held.retime(op, other, other + minutes);
    return true;
  }

  /** When the last of what is booked at a duty's place is over: with nothing behind, no circuit or test changes its meaning. */
  private bookedAtPlace(one: number): number {
    const { duties, ready, tests, problem } = this.held;
    const { machine, water } = duties.all[one]!;
    if (machine >= 0) return ready[machine]!;
    if (water < 0) return 0;
    const { machines } = problem;
    const ends = tests.ends[water]!;
    let behind = Math.max(0, ends[ends.length - 1] ?? 0);
    for (let m = 0; m < machines.length; m++)
      if (machines[m]!.water === water && ready[m]! > behind) behind = ready[m]!;
    return behind;
  }

  /** The minute of from..to nearest to another at which a duty that is not booked may begin; NEVER: none. */
  private nearest(one: number, at: number, from: number, to: number): number {
    const { hands, duties } = this.held;
    const { minutes, technicians } = duties.all[one]!;
    let up = Math.max(at + 1, from);
    let down = Math.min(at - 1, to);
    while (up <= to || down >= from) {
      const later = up <= to && (down < from || up - at <= at - down);
      const start = later ? up : down;
      // What begins at or before a minute at which hands are taken, and is not over by then, need not be tried.
      const taken = hands.takenIn(technicians, start, start + minutes, later);
      if (taken < 0 && obstacleTo(this.held, one, start, true) === null) return start;
      if (later) up = taken < 0 ? up + 1 : taken + 1;
      else down = taken < 0 ? down - 1 : taken - minutes;
    }
    return NEVER;
  }

  /** Whether work at the duty's place begins as it ends, so that nobody walks there. */
  private follows(one: number): boolean {
    const { duties } = this.held;
    const { machine, water } = duties.all[one]!;
    const end = duties.end(one);
    const others = machine >= 0 ? duties.atMachine[machine]! : water >= 0 ? duties.atSource[water]! : [];
    return others.some((other) => duties.start[other] === end);
  }

  /** The operation, history left out, that is this test; -1 when there is none. */
  private testOp(w: number, end: number): number {
    const { ops, historyCount, count } = this.held;
    for (let op = count - 1; op >= historyCount; op--) {
      const at = op * STRIDE;
      if (ops[at] === TEST && ops[at + 1] === w && ops[at + 4] === end) return op;
    }
    return -1;
  }

  /** The last operation of a machine before this one, history left out; -1 when there is none. */
  private lastOp(machine: number, before: number): number {
    const { ops, historyCount } = this.held;
    for (let op = before - 1; op >= historyCount; op--) {
      const at = op * STRIDE;
      if (ops[at] !== TEST && ops[at + 1] === machine) return op;
    }
    return -1;
  }

  /** Makes room by a later swap of another machine, when that costs less than so many bags. */
  private swapOff(wanted: Wanted, bags: number, chain: number): boolean {
    const { held } = this;
    const { machines, rules } = held.problem;
    const { machine: own, from, length, lacksFrom, lacksTo } = wanted;
    const { walk } = held.hands;
    for (let m = 0; m < machines.length; m++) {
      const booked = held.ready[m]! - rules.swapMinutes;
      if (m === own || booked < from - walk || booked - walk > lacksFrom || held.ready[m]! <= lacksTo)
        continue;
      const fill = this.lastOp(m, held.count);
      const swap = fill < 0 ? -1 : this.lastOp(m, fill);
      if (swap < 0 || !this.isEnd(FILL, fill, booked) || !this.isBegin(SWAP, swap, booked)) continue;
      // Most often it cannot end later at all: asked before hands are looked for.
      if (held.ops[fill * STRIDE + 3]! + machines[m]!.longest <= booked && booked <= from + length) continue;
      const to = this.putOff(m, { fill, swap }, wanted, { booked, bags, chain });
      if ((to - booked) * this.rate[m]! >= bags || !this.mayEnd(m, fill, to)) continue;
      held.retime(fill, held.ops[fill * STRIDE + 3]!, to);
      held.retime(swap, to, to + rules.swapMinutes);
      return true;
    }
    return false;
  }

  private isEnd(kind: number, op: number, minute: number): boolean {
    return this.held.ops[op * STRIDE] === kind && this.held.ops[op * STRIDE + 4] === minute;
  }

  private isBegin(kind: number, op: number, minute: number): boolean {
    return this.held.ops[op * STRIDE] === kind && this.held.ops[op * STRIDE + 3] === minute;
  }

  /** When a swap that makes room could be instead; others may have to make room for it in turn. NEVER: it makes none. */
  private putOff(
    m: number,
    { fill, swap }: { readonly fill: number; readonly swap: number },
    wanted: Wanted,
    { booked, bags, chain }: Swap,
  ): number {
    const { held } = this;
    const { hands } = held;
    const { swapMinutes } = held.problem.rules;
    const soon = wanted.from + wanted.length;
    held.release(swap);
    const helps = this.served(wanted);
    this.take(wanted, -1);
    let to = helps ? hands.from(SWAP, m, booked, swapMinutes) : NEVER;
    const rate = this.rate[m]!;
    const lost = (soon - booked) * rate;
    if (chain > 1 && to > soon && to < NEVER && lost < bags && this.mayEnd(m, fill, soon)) {
      const left = Math.min(bags - lost, (to - soon) * rate);
      const other = this.wanted(SWAP, m, soon, swapMinutes);
      if (other && (this.testUp(other) || this.swapOff(other, left, chain - 1))) to = soon;
    }
    this.take(wanted, 1);
    held.hold(swap);
    return to;
  }

  /** Whether a machine's last fill may end later, at `end`, within every rule. */
  private mayEnd(m: number, fill: number, end: number): boolean {
    const { held, floor, filling } = this;
    const { machines, rules, horizon } = held.problem;
    const { water, shortest, longest } = machines[m]!;
    const at = fill * STRIDE;
    const start = held.ops[at + 3]!;
    const before = held.ops[at + 4]!;
    const swapEnd = end + rules.swapMinutes;
    filling.place = m;
    filling.bath = held.ops[at + 2]!;
    if (end < start + shortest || end > start + longest || end > held.windows.end(m, start)) return false;
    if (floor.nextWanted[filling.bath]![end] !== end) return false;
    if (end >= NEVER || swapEnd > horizon || swapEnd > floor.lifeEnd(m)) return false;
    if (held.windows.from(m, end, rules.swapMinutes) !== end) return false;
    if (!held.stores.lasts(filling, before - start, end - start)) return false;
    return held.tests.untested(water, before) >= end && held.flows.from(m, before, end) === before;
  }
}
