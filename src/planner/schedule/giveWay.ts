import type { Floor } from './floor.ts';
import { type Occupancy, STRIDE } from './occupancy.ts';
import { FILL, NEVER, SWAP, TEST, type Work } from './work.ts';

/** A test is moved up by at most so many minutes: each of them brings the next test nearer. */
const TEST_UP = 30;
/** So many swaps in a row may be put off for one. */
const CHAIN = 2;

/** A technician for so many minutes from a minute on. */
interface Wanted {
  readonly from: number;
  readonly length: number;
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
  private readonly filling: Work = { kind: FILL, place: 0, bath: 0, segment: -1 };

  constructor(floor: Floor) {
    this.floor = floor;
    this.held = floor.held;
    const { machines, rules } = floor.problem;
    this.rate = machines.map(({ positions, shortest }) => positions / (shortest + rules.swapMinutes));
  }

  /** First minute from `from` on at which a technician is free for `length` minutes at a machine, or is made free. */
  handsFree(machine: number, from: number, length: number): number {
    const hands = this.held.hands.from(from, length);
    if (hands === from || hands >= NEVER) return hands;
    const bags = (hands - from) * this.rate[machine]!;
    return this.testUp(from, length) || this.swapOff(machine, { from, length }, bags, CHAIN) ? from : hands;
  }

  /** Whether a technician is free throughout once what is booked for start..end-1 goes. */
  private freeWithout(start: number, end: number, from: number, length: number): boolean {
    const { free } = this.held.hands;
    for (let t = from; t < from + length; t++)
      if (free[t]! + (t >= start && t < end ? 1 : 0) <= 0) return false;
    return true;
  }

  /** Makes room by an earlier test, if one stands in the way and no flow booked behind it loses its test. */
  private testUp(from: number, length: number): boolean {
    const { held } = this;
    const { water, machines, horizon } = held.problem;
    if (from + length > horizon) return false;
    for (let w = 0; w < water.length; w++) {
      const ends = held.testEnds[w]!;
      const { testEvery, testMinutes } = water[w]!;
      let i = ends.length - 1;
      while (i >= 0 && ends[i]! - testMinutes >= from + length) i--;
      if (i < 0 || ends[i]! <= from) continue;
      const end = ends[i]!;
      const start = end - testMinutes;
      if (!this.freeWithout(start, end, from, length)) continue;
      const op = this.testOp(w, end);
      if (op < 0) continue;
      held.hands.add(start, end, 1);
      held.hands.add(from, from + length, -1);
      const moved = held.hands.before(start, testMinutes);
      held.hands.add(from, from + length, 1);
      held.hands.add(start, end, -1);
      const until = moved + testMinutes + testEvery + 1;
      if (moved < held.now || start - moved > TEST_UP) continue;
      if (i > 0 && moved + testMinutes <= ends[i - 1]!) continue;
      const followed = i + 1 < ends.length && ends[i + 1]! <= until;
      if (!followed && machines.some((machine, m) => machine.water === w && held.ready[m]! > until)) continue;
      held.retime(op, moved, moved + testMinutes);
      return true;
    }
    return false;
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
  private swapOff(own: number, wanted: Wanted, bags: number, chain: number): boolean {
    const { held } = this;
    const { machines, rules } = held.problem;
    const { from, length } = wanted;
    for (let m = 0; m < machines.length; m++) {
      const booked = held.ready[m]! - rules.swapMinutes;
      if (
        m === own ||
        booked < from ||
        booked >= from + length ||
        !this.freeWithout(booked, booked + rules.swapMinutes, from, length)
      )
        continue;
      const fill = this.lastOp(m, held.count);
      const swap = fill < 0 ? -1 : this.lastOp(m, fill);
      if (swap < 0 || !this.isEnd(FILL, fill, booked) || !this.isBegin(SWAP, swap, booked)) continue;
      const to = this.putOff(m, fill, wanted, { booked, bags, chain });
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

  /** When a swap that makes room could be instead; others may have to make room for it in turn. */
  private putOff(m: number, fill: number, { from, length }: Wanted, { booked, bags, chain }: Swap): number {
    const { hands, problem } = this.held;
    const swap = problem.rules.swapMinutes;
    hands.add(booked, booked + swap, 1);
    hands.add(from, from + length, -1);
    const soon = from + length;
    let to = hands.from(booked, swap);
    const rate = this.rate[m]!;
    const lost = (soon - booked) * rate;
    if (chain > 1 && to > soon && to < NEVER && lost < bags && this.mayEnd(m, fill, soon)) {
      const left = Math.min(bags - lost, (to - soon) * rate);
      if (this.testUp(soon, swap) || this.swapOff(m, { from: soon, length: swap }, left, chain - 1))
        to = soon;
    }
    hands.add(from, from + length, 1);
    hands.add(booked, booked + swap, -1);
    return to;
  }

  /** Whether a machine's last fill may end later, at `end`, within every rule. */
  private mayEnd(m: number, fill: number, end: number): boolean {
    const { held, floor, filling } = this;
    const { machines, rules, horizon } = held.problem;
    const { water, longest } = machines[m]!;
    const at = fill * STRIDE;
    const start = held.ops[at + 3]!;
    const before = held.ops[at + 4]!;
    const swapEnd = end + rules.swapMinutes;
    filling.place = m;
    filling.bath = held.ops[at + 2]!;
    if (end > start + longest || end > held.windows.end(m, start)) return false;
    if (floor.nextWanted[filling.bath]![end] !== end) return false;
    if (swapEnd > horizon || swapEnd > floor.since[m]! + rules.circuitLife) return false;
    if (held.windows.from(m, end, rules.swapMinutes) !== end) return false;
    if (!held.stores.lasts(filling, before - start, end - start)) return false;
    return held.untested(water, before) >= end && held.flows.from(m, before, end) === before;
  }
}
