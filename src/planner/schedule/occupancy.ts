import type { Problem } from '../../scenario/problem/types.ts';
import { Duties } from './duties.ts';
import { Flows } from './flows.ts';
import { Hands } from './hands.ts';
import { Stores } from './stores.ts';
import { Tests } from './tests.ts';
import { Windows } from './windows.ts';
import { DUTY, FILL, GONE, NEVER, occurrencesOf, SWAP, TEST, type Work } from './work.ts';

/** Numbers that one operation takes in `Occupancy.ops`: kind, place, bath, start, end, segment, minutes walked before. */
export const STRIDE = 7;

/** All that was booked by some moment. `ops` may have room for more than the `count` there are. */
export interface Booked {
  readonly free: Int16Array;
  readonly room: readonly Int32Array[];
  readonly testEnds: readonly number[][];
  readonly workEnds: Uint8Array;
  readonly dutyStart: Int32Array;
  readonly left: Float64Array;
  readonly ready: Float64Array;
  ops: Int32Array;
  count: number;
  handsOn: number;
}

/**
 * What is booked so far of technicians, water, tests, supplies and machines' windows, and where there is still room; with
 * the way back. One for all who write a schedule down: dispatch, the plan by hand, replay and repair. Typed arrays, made
 * once: this is the inside of the search's hot loop.
 */
export class Occupancy {
  /** Operations placed, STRIDE numbers each. */
  ops = new Int32Array(STRIDE * 1024);
  count = 0;
  /** Operations that are history: they stand first in `ops` and stay, needed or not. */
  historyCount = 0;
  /** Technician minutes of all operations. */
  handsOn = 0;
  /** Nothing new may start before this minute. */
  now = 0;
  readonly problem: Problem;
  readonly hands: Hands;
  readonly flows: Flows;
  readonly stores: Stores;
  readonly windows: Windows;
  readonly duties: Duties;
  readonly tests: Tests;
  /** When each machine is free again, as whoever books its work says; a swap that is moved moves it. */
  readonly ready: Float64Array;
  /** Operations that were given other times, in order; see `retime`. */
  private readonly retimed: { op: number; start: number; end: number; count: number }[] = [];
  private readonly test: Work = { kind: TEST, place: 0, bath: -1, segment: -1 };
  private readonly booked: Work = { kind: 0, place: 0, bath: 0, segment: 0 };

  constructor(problem: Problem) {
    this.problem = problem;
    const occurrences = occurrencesOf(problem);
    this.duties = new Duties(problem, occurrences);
    this.hands = new Hands(problem, occurrences);
    this.flows = new Flows(problem, occurrences);
    this.stores = new Stores(problem);
    this.windows = new Windows(problem, this.duties);
    this.tests = new Tests(problem, this.duties);
    this.ready = new Float64Array(problem.machines.length);
  }

  /** A copy of all that is booked so far. */
  capture(): Booked {
    return {
      free: this.hands.free.slice(),
      room: this.flows.room.map((room) => room.slice()),
      testEnds: this.tests.ends.map((ends) => ends.slice()),
      workEnds: this.hands.ends.slice(),
      dutyStart: this.duties.start.slice(),
      left: this.stores.left.slice(),
      ready: this.ready.slice(),
      ops: this.ops.slice(0, this.count * STRIDE),
      count: this.count,
      handsOn: this.handsOn,
    };
  }

  /** The same into a copy that is wanted no more: the search makes thousands of them. */
  captureInto(old: Booked): void {
    old.free.set(this.hands.free);
    this.flows.room.forEach((room, w) => {
      old.room[w]!.set(room);
    });
    copyAll(this.tests.ends, old.testEnds);
    old.workEnds.set(this.hands.ends);
    old.dutyStart.set(this.duties.start);
    old.left.set(this.stores.left);
    old.ready.set(this.ready);
    const mine = this.ops.subarray(0, this.count * STRIDE);
    if (old.ops.length < mine.length) old.ops = mine.slice();
    else old.ops.set(mine);
    old.count = this.count;
    old.handsOn = this.handsOn;
  }

  restore(booked: Booked): void {
    this.hands.free.set(booked.free);
    this.flows.room.forEach((room, w) => {
      room.set(booked.room[w]!);
    });
    copyAll(booked.testEnds, this.tests.ends);
    this.hands.ends.set(booked.workEnds);
    this.duties.start.set(booked.dutyStart);
    this.stores.left.set(booked.left);
    this.ready.set(booked.ready);
    this.ops.set(booked.ops.subarray(0, booked.count * STRIDE));
    this.count = booked.count;
    this.handsOn = booked.handsOn;
    this.settle();
  }

  /** When the last thing of a kind booked at a machine begins; -1: none is. */
  lastStart(kind: number, machine: number): number {
    for (let at = (this.count - 1) * STRIDE; at >= 0; at -= STRIDE)
      if (this.ops[at] === kind && this.ops[at + 1] === machine) return this.ops[at + 3]!;
    return -1;
  }

  /** Books work, unasked. */
  commit({ kind, place, bath, segment }: Work, start: number, end: number): void {
    if ((this.count + 1) * STRIDE > this.ops.length) {
      const grown = new Int32Array(this.ops.length * 2);
      grown.set(this.ops);
      this.ops = grown;
    }
    const at = this.count * STRIDE;
    this.ops[at] = kind;
    this.ops[at + 1] = place;
    this.ops[at + 2] = bath;
    this.ops[at + 3] = start;
    this.ops[at + 4] = end;
    this.ops[at + 5] = segment;
    this.apply(this.count, 1);
    if (kind === DUTY) this.duties.op[place] = this.count;
    this.count += 1;
    if (kind === TEST) this.tests.add(place, end);
  }

  /** Adds (sign 1) or takes back (-1) what an operation uses of technicians, water and supplies. */
  private apply(op: number, sign: number): void {
    const { ops, booked } = this;
    const at = op * STRIDE;
    const kind = ops[at]!;
    const start = ops[at + 3]!;
    const end = ops[at + 4]!;
    this.applyHands(op, sign);
    booked.kind = kind;
    booked.place = ops[at + 1]!;
    if (kind === DUTY) {
      this.duties.start[booked.place] = sign > 0 ? start : NEVER;
      this.flows.drawForDuty(booked.place, start, end, sign);
    }
    if (kind > FILL) return;
    booked.bath = ops[at + 2]!;
    this.flows.draw(booked.place, start, end, sign);
    this.stores.take(booked, start, end, sign);
  }

  private applyHands(op: number, sign: number): void {
    const { ops, hands } = this;
    const at = op * STRIDE;
    const kind = ops[at]!;
    const place = ops[at + 1]!;
    const technicians = hands.of(kind, place);
    if (technicians === 0) return;
    const start = ops[at + 3]!;
    const length = hands.minutes(kind, ops[at + 4]! - start);
    if (sign > 0) ops[at + 6] = hands.walkBefore(kind, place, start);
    hands.add(start - ops[at + 6]!, start + length, -sign * technicians);
    hands.noteEnd(kind, place, start + length, sign);
    if (kind !== DUTY) this.handsOn += sign * technicians * length;
  }

  /** Lets go of an operation's technicians for a while, to look for other times; `hold` takes them again, as they were. */
  release(op: number): void {
    this.holdHands(op, 1);
  }

  hold(op: number): void {
    this.holdHands(op, -1);
  }

  private holdHands(op: number, sign: number): void {
    const at = op * STRIDE;
    const { ops, hands } = this;
    const start = ops[at + 3]!;
    const length = hands.minutes(ops[at]!, ops[at + 4]! - start);
    hands.add(start - ops[at + 6]!, start + length, sign * hands.of(ops[at]!, ops[at + 1]!));
    hands.noteEnd(ops[at]!, ops[at + 1]!, start + length, -sign);
  }

  /** Takes back, latest first, all that was booked and given other times since there were so many operations. */
  undoTo(count: number): void {
    const { retimed } = this;
    for (;;) {
      const last = retimed[retimed.length - 1];
      if (last && last.count >= Math.max(count, this.count)) {
        retimed.pop();
        this.setTimes(last.op, last.start, last.end);
      } else if (this.count > count) this.takeBack();
      else return;
    }
  }

  private takeBack(): void {
    this.count -= 1;
    const at = this.count * STRIDE;
    this.apply(this.count, -1);
    if (this.ops[at] === TEST) this.tests.drop(this.ops[at + 1]!, this.ops[at + 4]!);
  }

  /** What is booked stays from here on: nothing before can be taken back. */
  settle(): void {
    // Setting a length takes its time, and this is asked at every fill.
    if (this.retimed.length > 0) this.retimed.length = 0;
  }

  /**
   * Gives a booked operation other times, which `undoTo` takes back. The caller sees to it that there is room, and that
   * tests keep their order.
   */
  retime(op: number, start: number, end: number): void {
    const at = op * STRIDE;
    this.retimed.push({ op, start: this.ops[at + 3]!, end: this.ops[at + 4]!, count: this.count });
    this.setTimes(op, start, end);
  }

  /** Takes the last `retime` back. */
  unretime(): void {
    const last = this.retimed.pop()!;
    this.setTimes(last.op, last.start, last.end);
  }

  /** Takes an operation out for a while, as if it were not booked; `putBack` books it again as it was. */
  takeOut(op: number): void {
    this.apply(op, -1);
  }

  putBack(op: number): void {
    this.apply(op, 1);
  }

  private setTimes(op: number, start: number, end: number): void {
    const at = op * STRIDE;
    const before = this.ops[at + 4]!;
    if (this.ops[at] === FILL && this.ops[at + 3] === start) this.setEnd(op, end);
    else {
      this.apply(op, -1);
      this.ops[at + 3] = start;
      this.ops[at + 4] = end;
      this.apply(op, 1);
    }
    if (this.ops[at] === SWAP) this.ready[this.ops[at + 1]!] = end;
    if (this.ops[at] === TEST) this.tests.change(this.ops[at + 1]!, before, end);
  }

  /** A fill ends at another minute: of its water only the difference is drawn, or given back. */
  private setEnd(op: number, end: number): void {
    const { ops, booked } = this;
    const at = op * STRIDE;
    const start = ops[at + 3]!;
    const before = ops[at + 4]!;
    booked.kind = FILL;
    booked.place = ops[at + 1]!;
    booked.bath = ops[at + 2]!;
    // Its hands are booked anew: whether anybody walks there is as things stand now.
    this.applyHands(op, -1);
    this.stores.take(booked, start, before, -1);
    ops[at + 4] = end;
    this.applyHands(op, 1);
    this.stores.take(booked, start, end, 1);
    this.flows.draw(booked.place, Math.min(before, end), Math.max(before, end), end > before ? 1 : -1);
  }

  /**
   * Puts in the tests that minutes from..to-1 of flow still want, each as late as it can be. Returns -1; or, when a test
   * has no room, puts in none and returns the minute that none can serve (see `nextTestEnd`).
   */
  ensureTests(w: number, from: number, to: number): number {
    const { testEvery, testMinutes } = this.problem.water[w]!;
    const saved = this.count;
    let t = from;
    for (;;) {
      t = this.tests.untested(w, t);
      if (t >= to) return -1;
      const start = this.testBefore(w, t - testMinutes);
      const soonest = Math.max(this.now, t - testEvery - testMinutes, this.duties.soonestTest(w, t));
      if (start < soonest) {
        this.undoTo(saved);
        return t;
      }
      this.commitTest(w, start);
    }
  }

  commitTest(w: number, start: number): void {
    this.test.place = w;
    this.commit(this.test, start, start + this.problem.water[w]!.testMinutes);
  }

  /** Last minute up to `s` at which a test of a source can begin; -1: none. */
  testBefore(w: number, s: number): number {
    const { testMinutes } = this.problem.water[w]!;
    let start = s;
    for (;;) {
      const hands = this.hands.before(TEST, w, start, testMinutes);
      start = hands < 0 ? hands : this.duties.sourceBefore(w, hands, testMinutes);
      if (start === hands || start < 0) return Math.max(-1, start);
    }
  }

  /** First minute from `s` on at which a test of a source can begin; NEVER: none. */
  testFrom(w: number, s: number): number {
    const { testMinutes } = this.problem.water[w]!;
    let start = s;
    for (;;) {
      const hands = this.hands.from(TEST, w, start, testMinutes);
      start = hands >= NEVER ? hands : this.duties.sourceFrom(w, hands, testMinutes);
      if (start === hands) return start;
    }
  }

  /** The first minute after this one at which a further test of a source could end. */
  nextTestEnd(w: number, minute: number): number {
    const { testMinutes } = this.problem.water[w]!;
    return this.testFrom(w, Math.max(this.now, minute - testMinutes + 1)) + testMinutes;
  }

  /** Takes a test back that is no history. */
  removeTest(w: number, end: number): void {
    const { ops } = this;
    for (let i = this.count - 1; i >= this.historyCount; i--) {
      const at = i * STRIDE;
      if (ops[at] !== TEST || ops[at + 1] !== w || ops[at + 4] !== end) continue;
      this.apply(i, -1);
      ops[at] = GONE;
      this.tests.drop(w, end);
      return;
    }
  }
}

function copyAll(from: readonly (readonly number[])[], to: readonly number[][]): void {
  from.forEach((list, k) => {
    const mine = to[k]!;
    mine.length = list.length;
    for (let i = 0; i < list.length; i++) mine[i] = list[i]!;
  });
}
