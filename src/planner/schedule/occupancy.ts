import type { Activity } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { Flows } from './flows.ts';
import { Hands } from './hands.ts';
import { Stores } from './stores.ts';
import { Windows } from './windows.ts';
import { FILL, GONE, KINDS, NEVER, SWAP, TEST, type Work } from './work.ts';

/** Numbers that one operation takes in `Occupancy.ops`: kind, place, bath, start, end, segment. */
export const STRIDE = 6;

/** All that was booked by some moment. */
export interface Booked {
  readonly free: Int16Array;
  readonly room: readonly Int32Array[];
  readonly testEnds: readonly number[][];
  readonly left: Float64Array;
  readonly ready: Float64Array;
  readonly ops: Int32Array;
  readonly count: number;
  readonly handsOn: number;
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
  /** Ends of tests, in order, by source; the last one before the plan is the first. */
  readonly testEnds: readonly number[][];
  /** When each machine is free again, as whoever books its work says; a swap that is moved moves it. */
  readonly ready: Float64Array;
  /** Operations that were given other times, in order; see `retime`. */
  private readonly retimed: { op: number; start: number; end: number; count: number }[] = [];
  private readonly running: readonly number[][];
  private readonly test: Work = { kind: TEST, place: 0, bath: -1, segment: -1 };
  private readonly booked: Work = { kind: 0, place: 0, bath: 0, segment: 0 };

  constructor(problem: Problem) {
    this.problem = problem;
    this.hands = new Hands(problem);
    this.flows = new Flows(problem);
    this.stores = new Stores(problem);
    this.windows = new Windows(problem);
    this.testEnds = problem.water.map((w) => (w.lastTest === null ? [] : [w.lastTest]));
    this.ready = new Float64Array(problem.machines.length);
    this.running = problem.water.map(() => []);
  }

  /** A copy of all that is booked so far. */
  capture(): Booked {
    return {
      free: this.hands.free.slice(),
      room: this.flows.room.map((room) => room.slice()),
      testEnds: this.testEnds.map((ends) => ends.slice()),
      left: this.stores.left.slice(),
      ready: this.ready.slice(),
      ops: this.ops.slice(0, this.count * STRIDE),
      count: this.count,
      handsOn: this.handsOn,
    };
  }

  restore(booked: Booked): void {
    this.hands.free.set(booked.free);
    this.flows.room.forEach((room, w) => {
      room.set(booked.room[w]!);
    });
    booked.testEnds.forEach((ends, w) => {
      const mine = this.testEnds[w]!;
      mine.length = ends.length;
      for (let i = 0; i < ends.length; i++) mine[i] = ends[i]!;
    });
    this.stores.left.set(booked.left);
    this.ready.set(booked.ready);
    this.ops.set(booked.ops);
    this.count = booked.count;
    this.handsOn = booked.handsOn;
    this.settle();
  }

  /** Books these activities (valid among themselves) unasked, by start; those at unknown places are left out. */
  assume(activities: readonly Activity[], each?: (work: Work, start: number, end: number) => void): void {
    const { machines, water, baths } = this.problem;
    const machineOf = new Map(machines.map((m, i) => [m.id, i]));
    const waterOf = new Map(water.map((w, i) => [w.id, i]));
    const bathOf = new Map(baths.map((b, i) => [b, i]));
    for (const activity of [...activities].sort((a, b) => a.start - b.start)) {
      if (activity.kind === 'duty') continue;
      const kind = KINDS.indexOf(activity.kind);
      const place = activity.kind === 'test' ? waterOf.get(activity.water) : machineOf.get(activity.machine);
      if (place === undefined) continue;
      const bath = 'bath' in activity ? (bathOf.get(activity.bath) ?? -1) : -1;
      const work = { kind, place, bath, segment: -1 };
      this.commit(work, activity.start, activity.end);
      each?.(work, activity.start, activity.end);
    }
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
    this.count += 1;
    if (kind === TEST) {
      const ends = this.testEnds[place]!;
      let i = ends.length;
      while (i > 0 && ends[i - 1]! > end) i--;
      ends.splice(i, 0, end);
    }
  }

  /** Adds (sign 1) or takes back (-1) what an operation uses of technicians, water and supplies. */
  private apply(op: number, sign: number): void {
    const { ops, booked } = this;
    const at = op * STRIDE;
    const kind = ops[at]!;
    const start = ops[at + 3]!;
    const end = ops[at + 4]!;
    if (kind !== FILL) {
      this.hands.add(start, end, -sign);
      this.handsOn += sign * (end - start);
    }
    if (kind > FILL) return;
    booked.kind = kind;
    booked.place = ops[at + 1]!;
    booked.bath = ops[at + 2]!;
    this.flows.draw(booked.place, start, end, sign);
    this.stores.take(booked, start, end, sign);
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
    if (this.ops[at] === TEST) this.dropEnd(this.ops[at + 1]!, this.ops[at + 4]!);
  }

  private dropEnd(w: number, end: number): void {
    const ends = this.testEnds[w]!;
    ends.splice(ends.lastIndexOf(end), 1);
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

  private setTimes(op: number, start: number, end: number): void {
    const at = op * STRIDE;
    const before = this.ops[at + 4]!;
    this.apply(op, -1);
    this.ops[at + 3] = start;
    this.ops[at + 4] = end;
    this.apply(op, 1);
    if (this.ops[at] === SWAP) this.ready[this.ops[at + 1]!] = end;
    if (this.ops[at] !== TEST) return;
    const ends = this.testEnds[this.ops[at + 1]!]!;
    ends[ends.lastIndexOf(before)] = end;
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
      t = this.untested(w, t);
      if (t >= to) return -1;
      const start = this.hands.before(t - testMinutes, testMinutes);
      if (start < this.now || start + testMinutes < t - testEvery) {
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

  /** The first minute after this one at which a further test of a source could end. */
  nextTestEnd(w: number, minute: number): number {
    const { testMinutes } = this.problem.water[w]!;
    return this.hands.from(Math.max(this.now, minute - testMinutes + 1), testMinutes) + testMinutes;
  }

  /** First minute from `t` on at which none of a source's booked tests holds. */
  untested(w: number, t: number): number {
    const { testEvery } = this.problem.water[w]!;
    const ends = this.testEnds[w]!;
    let minute = t;
    for (;;) {
      let i = ends.length - 1;
      while (i >= 0 && ends[i]! > minute) i--;
      if (i < 0 || ends[i]! + testEvery < minute) return minute;
      minute = ends[i]! + testEvery + 1;
    }
  }

  /** Takes back tests that no minute of flow needs, such as one kept for fills that never came. */
  dropIdleTests(): void {
    this.gatherRunning();
    for (let w = 0; w < this.running.length; w++) {
      const runs = this.running[w]!;
      const ends = this.testEnds[w]!;
      const { testEvery, testMinutes } = this.problem.water[w]!;
      for (let k = ends.length - 1; k >= 0; k--) {
        const from = k > 0 ? Math.max(ends[k]!, ends[k - 1]! + testEvery + 1) : ends[k]!;
        const to = Math.min(ends[k]! + testEvery + 1, k + 1 < ends.length ? ends[k + 1]! : NEVER);
        let needed = ends[k]! - testMinutes < this.now;
        for (let f = 0; f < runs.length && !needed; f += 2) needed = runs[f]! < to && runs[f + 1]! > from;
        if (!needed) this.removeTest(w, ends[k]!);
      }
    }
  }

  /** Stretches in which each source feeds a machine, begin and end one after the other. */
  private gatherRunning(): void {
    const { ops, count, running } = this;
    const { machines } = this.problem;
    for (const runs of running) runs.length = 0;
    for (let i = 0; i < count; i++) {
      const at = i * STRIDE;
      if (ops[at]! > FILL) continue;
      const runs = running[machines[ops[at + 1]!]!.water]!;
      const start = ops[at + 3]!;
      const end = ops[at + 4]!;
      const last = runs.length - 1;
      // Operations stand nearly in order: a stretch that starts before the last one only widens it.
      if (last > 0 && start <= runs[last]!) {
        if (end > runs[last]!) runs[last] = end;
        if (start < runs[last - 1]!) runs[last - 1] = start;
      } else runs.push(start, end);
    }
  }

  private removeTest(w: number, end: number): void {
    const { ops } = this;
    for (let i = this.count - 1; i >= this.historyCount; i--) {
      const at = i * STRIDE;
      if (ops[at] !== TEST || ops[at + 1] !== w || ops[at + 4] !== end) continue;
      this.apply(i, -1);
      ops[at] = GONE;
      this.dropEnd(w, end);
      return;
    }
  }

  /** The operations as a plan file lists them, without these fills (by operation) and their swaps. */
  activities(useless: readonly number[] = []): Activity[] {
    const { machines, water, baths } = this.problem;
    const out = new Set(useless.map((i) => `${this.ops[i * STRIDE + 1]} ${this.ops[i * STRIDE + 4]}`));
    const list: Activity[] = [];
    for (let i = 0; i < this.count; i++) {
      const at = i * STRIDE;
      const kind = this.ops[at]!;
      const place = this.ops[at + 1]!;
      const start = this.ops[at + 3]!;
      const end = this.ops[at + 4]!;
      if (kind === GONE) continue;
      const name = KINDS[kind]!;
      if (kind === FILL && out.has(`${place} ${end}`)) continue;
      if (kind === SWAP && out.has(`${place} ${start}`)) continue;
      if (name === 'test') list.push({ kind: name, water: water[place]!.id, start, end });
      else if (name === 'swap') list.push({ kind: name, machine: machines[place]!.id, start, end });
      else
        list.push({ kind: name, machine: machines[place]!.id, bath: baths[this.ops[at + 2]!]!, start, end });
    }
    return list;
  }
}
