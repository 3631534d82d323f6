import { type Book, FILL, NEVER, STRIDE, SWAP, TEST } from './book.ts';

/** A test is moved up by at most so many minutes: each of them brings the next test nearer. */
const TEST_UP = 30;
/** So many swaps in a row may be put off for one. */
const CHAIN = 2;

/**
 * Where one technician is wanted at two machines, who waits? A schedule that books one machine after the other lets the
 * one booked last wait, and on nights with one technician that costs more bags than anything else. Here what is booked
 * already gives way: a test is made a little sooner, a swap a little later within the window of its fill, when that
 * costs fewer bags than waiting does.
 */
export class GiveWay {
  private readonly book: Book;
  /** Bags that a machine makes in a minute, at most. */
  private readonly rate: readonly number[];

  constructor(book: Book) {
    this.book = book;
    const { machines, rules } = book.problem;
    this.rate = machines.map(({ positions, shortest }) => positions / (shortest + rules.swapMinutes));
  }

  /** First minute from `from` on at which a technician is free for `length` minutes at a machine, or is made free. */
  handsFree(machine: number, from: number, length: number): number {
    const hands = this.book.handsFree(from, length);
    if (hands === from || hands >= NEVER) return hands;
    const bags = (hands - from) * this.rate[machine]!;
    return this.testUp(from, length) || this.swapOff(machine, from, length, bags, CHAIN) ? from : hands;
  }

  /** Whether a technician is free throughout once what is booked for start..end-1 goes. */
  private freeWithout(start: number, end: number, from: number, length: number): boolean {
    const { free } = this.book;
    for (let t = from; t < from + length; t++)
      if (free[t]! + (t >= start && t < end ? 1 : 0) <= 0) return false;
    return true;
  }

  private hold(start: number, end: number, hands: number): void {
    const { free } = this.book;
    for (let t = start; t < end; t++) free[t]! += hands;
  }

  /** Makes room by an earlier test, if one stands in the way and no flow booked behind it loses its test. */
  private testUp(from: number, length: number): boolean {
    const { book } = this;
    const { water, machines } = book.problem;
    if (from + length > book.free.length) return false;
    for (let w = 0; w < water.length; w++) {
      const ends = book.testEnds[w]!;
      const { testEvery, testMinutes } = water[w]!;
      let i = ends.length - 1;
      while (i >= 0 && ends[i]! - testMinutes >= from + length) i--;
      if (i < 0 || ends[i]! <= from) continue;
      const end = ends[i]!;
      const start = end - testMinutes;
      if (!this.freeWithout(start, end, from, length)) continue;
      const op = this.testOp(w, end);
      if (op < 0) continue;
      this.hold(start, end, 1);
      this.hold(from, from + length, -1);
      const moved = book.handsFreeBefore(start, testMinutes);
      this.hold(from, from + length, 1);
      this.hold(start, end, -1);
      const until = moved + testMinutes + testEvery + 1;
      if (moved < book.floor || start - moved > TEST_UP) continue;
      if (i > 0 && moved + testMinutes <= ends[i - 1]!) continue;
      const followed = i + 1 < ends.length && ends[i + 1]! <= until;
      if (!followed && machines.some((machine, m) => machine.water === w && book.ready[m]! > until)) continue;
      book.retime(op, moved, moved + testMinutes);
      return true;
    }
    return false;
  }

  /** The operation, history left out, that is this test; -1 when there is none. */
  private testOp(w: number, end: number): number {
    const { ops, historyCount, count } = this.book;
    for (let op = count - 1; op >= historyCount; op--) {
      const at = op * STRIDE;
      if (ops[at] === TEST && ops[at + 1] === w && ops[at + 4] === end) return op;
    }
    return -1;
  }

  /** The last operation of a machine before this one, history left out; -1 when there is none. */
  private lastOp(machine: number, before: number): number {
    const { ops, historyCount } = this.book;
    for (let op = before - 1; op >= historyCount; op--) {
      const at = op * STRIDE;
      if (ops[at] !== TEST && ops[at + 1] === machine) return op;
    }
    return -1;
  }

  /** Makes room by a later swap of another machine, when that costs less than so many bags. */
  private swapOff(own: number, from: number, length: number, bags: number, chain: number): boolean {
    const { book } = this;
    const { machines, rules } = book.problem;
    const swap = rules.swapMinutes;
    for (let m = 0; m < machines.length; m++) {
      const booked = book.ready[m]! - swap;
      if (
        m === own ||
        booked < from ||
        booked >= from + length ||
        !this.freeWithout(booked, booked + swap, from, length)
      )
        continue;
      const fill = this.lastOp(m, book.count);
      if (fill < 0 || book.ops[fill * STRIDE] !== FILL || book.ops[fill * STRIDE + 4] !== booked) continue;
      const swapOp = this.lastOp(m, fill);
      if (swapOp < 0 || book.ops[swapOp * STRIDE] !== SWAP || book.ops[swapOp * STRIDE + 3] !== booked)
        continue;
      this.hold(booked, booked + swap, 1);
      this.hold(from, from + length, -1);
      const soon = from + length;
      let to = book.handsFree(booked, swap);
      const rate = this.rate[m]!;
      const lost = (soon - booked) * rate;
      if (chain > 1 && to > soon && to < NEVER && lost < bags && this.mayEnd(m, fill, soon)) {
        const left = Math.min(bags - lost, (to - soon) * rate);
        if (this.testUp(soon, swap) || this.swapOff(m, soon, swap, left, chain - 1)) to = soon;
      }
      this.hold(from, from + length, 1);
      this.hold(booked, booked + swap, -1);
      if ((to - booked) * rate >= bags || !this.mayEnd(m, fill, to)) continue;
      book.retime(fill, book.ops[fill * STRIDE + 3]!, to);
      book.retime(swapOp, to, to + swap);
      return true;
    }
    return false;
  }

  /** Whether a machine's last fill may end later, at `end`, within every rule. */
  private mayEnd(m: number, fill: number, end: number): boolean {
    const { book } = this;
    const { machines, rules, horizon, supplies } = book.problem;
    const { water, longest } = machines[m]!;
    const [bath, start, before] = [2, 3, 4].map((k) => book.ops[fill * STRIDE + k]!) as [
      number,
      number,
      number,
    ];
    const swapEnd = end + rules.swapMinutes;
    if (end > start + longest || end > book.windowEnd(m, start)) return false;
    if (book.nextWanted[bath]![end] !== end) return false;
    if (swapEnd > horizon || swapEnd > book.since[m]! + rules.circuitLife) return false;
    if (book.windowAt(m, end, rules.swapMinutes) !== end) return false;
    for (const i of book.draws[FILL]![bath + 1]!) {
      const more = book.amount(i, m, FILL, end - start) - book.amount(i, m, FILL, before - start);
      if (more > 0 && supplies[i]!.onHand - book.used[i]! < more) return false;
    }
    return book.untested(water, before) >= end && book.flowFree(water, m, before, end) === before;
  }
}
