import { places, scaled } from '../../exact/fraction.ts';
import type { Activity } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';

export const CIRCUIT = 0;
export const BATH = 1;
export const FILL = 2;
export const SWAP = 3;
export const TEST = 4;
/** In place of a test that was taken back: the others keep their places. */
const GONE = 5;
const KINDS = ['circuit', 'bath', 'fill', 'swap', 'test'] as const;
/** Numbers that one operation takes in `Book.ops`: kind, place, bath, start, end, segment. */
export const STRIDE = 6;

/** Later than any minute. */
export const NEVER = 1 << 30;

/** All that a dispatch has done by some moment, to go on from later. */
export interface State {
  readonly free: Int16Array;
  readonly flow: readonly Int32Array[];
  readonly testEnds: readonly number[][];
  readonly used: Float64Array;
  readonly ready: Float64Array;
  readonly since: Float64Array;
  readonly bathOn: Int32Array;
  readonly active: Uint8Array;
  readonly ops: Int32Array;
  readonly count: number;
  readonly handsOn: number;
}

/**
 * What is booked so far of machines, technicians, water, tests and supplies, in typed arrays that are made once; where
 * there is still room; and the way back to any earlier state. Shared by what places operations (`dispatch.ts`) and what
 * moves them (`giveWay.ts`).
 */
export class Book {
  /** Operations placed, STRIDE numbers each. */
  ops = new Int32Array(STRIDE * 1024);
  count = 0;
  /** Technician minutes of all operations. */
  handsOn = 0;
  readonly problem: Problem;
  readonly machineCount: number;
  readonly free: Int16Array;
  private readonly flow: Int32Array[];
  private readonly capacity: number[];
  private readonly machineFlow: number[];
  private readonly limited: boolean[];
  readonly nextStaffed: Int32Array;
  /** First minute of each machine's windows and their ends. */
  readonly windowFrom: number[][];
  private readonly windowTo: number[][];
  readonly testEnds: number[][];
  readonly used: Float64Array;
  readonly ready: Float64Array;
  readonly since: Float64Array;
  readonly bathOn: Int32Array;
  readonly active: Uint8Array;
  /** How long before its latest minute a test is given its technician, min. */
  readonly ahead: number;
  /** Supplies that an operation draws on, [kind][bath + 1]; first those of a bath that is in the list no more. */
  readonly draws: readonly (readonly (readonly number[])[])[];
  private readonly flows: number[][];
  /** Operations that were given other times, in order; see `retime`. */
  private readonly retimed: { op: number; start: number; end: number; count: number }[] = [];
  /**
   * First minute from each on at which a fill of a bath may end and serve a round, [bath][minute]; after the last one each
   * minute stands for itself: lines whose end waits, or is given up, were harder to search on.
   */
  readonly nextWanted: readonly Int32Array[];
  /** Nothing new may start before this minute. */
  floor = 0;
  base: State;

  /** @param wanted whether a fill of a bath that ends at a minute can serve a round, [bath][0..horizon]. Default: all */
  constructor(problem: Problem, wanted?: readonly Uint8Array[]) {
    this.problem = problem;
    const { machines, water, horizon, baths } = problem;
    this.nextWanted = baths.map((_, bath) => {
      const next = Int32Array.from({ length: horizon + 2 }, (_, t) => t);
      const ends = wanted?.[bath];
      if (ends) for (let t = ends.lastIndexOf(1) - 1; t >= 0; t--) if (ends[t] === 0) next[t] = next[t + 1]!;
      return next;
    });
    this.machineCount = machines.length;
    const scale =
      10 ** Math.max(0, ...machines.map((m) => places(m.flow)), ...water.map((w) => places(w.capacity)));
    this.machineFlow = machines.map((m) => scaled(m.flow, scale));
    this.capacity = water.map((w) => scaled(w.capacity, scale));
    this.limited = water.map(
      (_, w) =>
        machines.reduce((sum, m, i) => (m.water === w ? sum + this.machineFlow[i]! : sum), 0) >
        this.capacity[w]!,
    );
    this.free = Int16Array.from(problem.staff);
    this.flow = water.map((_, w) => new Int32Array(this.limited[w] ? horizon : 0));
    this.nextStaffed = new Int32Array(horizon + 1);
    this.nextStaffed[horizon] = NEVER;
    for (let t = horizon - 1; t >= 0; t--)
      this.nextStaffed[t] = problem.staff[t]! > 0 ? t : this.nextStaffed[t + 1]!;
    this.windowFrom = machines.map((m) => m.windows.map((w) => w.from));
    this.windowTo = machines.map((m) => m.windows.map((w) => w.to));
    this.testEnds = water.map((w) => (w.lastTest === null ? [] : [w.lastTest]));
    this.used = new Float64Array(problem.supplies.length);
    this.draws = [CIRCUIT, BATH, FILL].map((kind) =>
      [-1, ...problem.baths.keys()].map((b) =>
        problem.supplies.flatMap(({ bath, perCircuit, perFill, perMinute }, i) => {
          const once = kind === CIRCUIT ? perCircuit : kind === FILL ? perFill : 0;
          const mine = bath === null || bath === b;
          return mine && (once > 0 || perMinute.some((each) => each > 0)) ? [i] : [];
        }),
      ),
    );
    this.flows = water.map(() => []);
    this.ready = new Float64Array(this.machineCount);
    this.since = Float64Array.from(machines, (m) => (m.loaded ? m.loaded.since : Number.NaN));
    this.bathOn = Int32Array.from(machines, (m) => (m.loaded ? m.loaded.bath : -1));
    this.active = new Uint8Array(this.machineCount).fill(1);
    this.ahead = 2 * (Math.max(0, ...machines.map((m) => m.longest)) + problem.rules.swapMinutes);
    this.base = this.capture();
  }

  /** A copy of all that the dispatch has done so far. */
  capture(): State {
    return {
      free: this.free.slice(),
      flow: this.flow.map((f) => f.slice()),
      testEnds: this.testEnds.map((t) => t.slice()),
      used: this.used.slice(),
      ready: this.ready.slice(),
      since: this.since.slice(),
      bathOn: this.bathOn.slice(),
      active: this.active.slice(),
      ops: this.ops.slice(0, this.count * STRIDE),
      count: this.count,
      handsOn: this.handsOn,
    };
  }

  restore(state: State): void {
    this.free.set(state.free);
    this.flow.forEach((f, w) => {
      f.set(state.flow[w]!);
    });
    state.testEnds.forEach((ends, w) => {
      const mine = this.testEnds[w]!;
      mine.length = ends.length;
      for (let i = 0; i < ends.length; i++) mine[i] = ends[i]!;
    });
    this.used.set(state.used);
    this.ready.set(state.ready);
    this.since.set(state.since);
    this.bathOn.set(state.bathOn);
    this.active.set(state.active);
    this.ops.set(state.ops);
    this.count = state.count;
    this.handsOn = state.handsOn;
    this.settle();
  }

  /**
   * Takes these activities (valid among themselves) as history: every dispatch from now on begins with them, and
   * places nothing before minute `now`.
   */
  freeze(activities: readonly Activity[], now: number): void {
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
      this.commit(kind, place, bath, activity.start, activity.end, -1);
      if (kind === TEST) continue;
      this.ready[place] = Math.max(this.ready[place]!, activity.end);
      if (kind === CIRCUIT) this.since[place] = activity.start;
      if (kind === CIRCUIT || kind === BATH) this.bathOn[place] = bath;
    }
    this.floor = now;
    for (let m = 0; m < this.machineCount; m++) this.ready[m] = Math.max(this.ready[m]!, now);
    this.base = this.capture();
  }

  /** Operations that are history: they stand first in `ops` and stay, needed or not. */
  get historyCount(): number {
    return this.base.count;
  }

  /** The bath that a machine's circuit runs at this point of the dispatch, -1 without a circuit. */
  runs(machine: number): number {
    return this.bathOn[machine]!;
  }

  /** When a machine's circuit was taken; minus infinity without one. */
  circuitSince(machine: number): number {
    const since = this.since[machine]!;
    return Number.isNaN(since) ? Number.NEGATIVE_INFINITY : since;
  }

  /** Minutes of life that a machine's circuit has left at a minute; 0 without a circuit. */
  lifeLeft(machine: number, at: number): number {
    const since = this.since[machine]!;
    return Number.isNaN(since) ? 0 : Math.max(0, since + this.problem.rules.circuitLife - at);
  }

  /**
   * Puts in the tests that minutes from..to-1 of flow still want, each as late as it can be. Returns `from`; or, when
   * a test has no room, puts in none and returns the first later minute at which the flow might begin.
   */
  ensureTests(w: number, from: number, to: number): number {
    const { testEvery, testMinutes } = this.problem.water[w]!;
    const saved = this.count;
    let t = from;
    for (;;) {
      t = this.untested(w, t);
      if (t >= to) return from;
      const start = this.handsFreeBefore(t - testMinutes, testMinutes);
      if (start < this.floor || start + testMinutes < t - testEvery) {
        this.undoTo(saved);
        return Math.max(
          from + 1,
          this.handsFree(Math.max(this.floor, t - testMinutes + 1), testMinutes) + testMinutes,
        );
      }
      this.commit(TEST, w, -1, start, start + testMinutes, -1);
    }
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
    const { water, machines } = this.problem;
    for (const flows of this.flows) flows.length = 0;
    for (let i = 0; i < this.count; i++) {
      const at = i * STRIDE;
      if (this.ops[at]! > FILL) continue;
      const flows = this.flows[machines[this.ops[at + 1]!]!.water]!;
      const start = this.ops[at + 3]!;
      const end = this.ops[at + 4]!;
      const last = flows.length - 1;
      // Operations stand nearly in order: a stretch that starts before the last one only widens it.
      if (last > 0 && start <= flows[last]!) {
        if (end > flows[last]!) flows[last] = end;
        if (start < flows[last - 1]!) flows[last - 1] = start;
      } else flows.push(start, end);
    }
    for (let w = 0; w < water.length; w++) {
      const flows = this.flows[w]!;
      const ends = this.testEnds[w]!;
      const { testEvery, testMinutes } = water[w]!;
      for (let k = ends.length - 1; k >= 0; k--) {
        const from = k > 0 ? Math.max(ends[k]!, ends[k - 1]! + testEvery + 1) : ends[k]!;
        const to = Math.min(ends[k]! + testEvery + 1, k + 1 < ends.length ? ends[k + 1]! : NEVER);
        let needed = ends[k]! - testMinutes < this.floor;
        for (let f = 0; f < flows.length && !needed; f += 2) needed = flows[f]! < to && flows[f + 1]! > from;
        if (!needed) this.removeTest(w, ends[k]!);
      }
    }
  }

  private removeTest(w: number, end: number): void {
    for (let i = this.count - 1; i >= this.base.count; i--) {
      const at = i * STRIDE;
      if (this.ops[at] !== TEST || this.ops[at + 1] !== w || this.ops[at + 4] !== end) continue;
      this.apply(TEST, w, -1, this.ops[at + 3]!, end, -1);
      this.ops[at] = GONE;
      this.dropEnd(w, end);
      return;
    }
  }

  private dropEnd(w: number, end: number): void {
    const ends = this.testEnds[w]!;
    ends.splice(ends.lastIndexOf(end), 1);
  }

  commit(kind: number, place: number, bath: number, start: number, end: number, segment: number): void {
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
    this.count += 1;
    this.apply(kind, place, bath, start, end, 1);
    if (kind === TEST) {
      const ends = this.testEnds[place]!;
      let i = ends.length;
      while (i > 0 && ends[i - 1]! > end) i--;
      ends.splice(i, 0, end);
    }
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
    const kind = this.ops[at]!;
    const place = this.ops[at + 1]!;
    const end = this.ops[at + 4]!;
    this.apply(kind, place, this.ops[at + 2]!, this.ops[at + 3]!, end, -1);
    if (kind === TEST) this.dropEnd(place, end);
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
    const kind = this.ops[at]!;
    const place = this.ops[at + 1]!;
    const bath = this.ops[at + 2]!;
    const before = this.ops[at + 4]!;
    this.apply(kind, place, bath, this.ops[at + 3]!, before, -1);
    this.apply(kind, place, bath, start, end, 1);
    this.ops[at + 3] = start;
    this.ops[at + 4] = end;
    if (kind === TEST) this.testEnds[place]![this.testEnds[place]!.lastIndexOf(before)] = end;
    if (kind === SWAP) this.ready[place] = end;
  }

  /** Adds (sign 1) or takes back (-1) what an operation uses of technicians, water and supplies. */
  private apply(kind: number, place: number, bath: number, start: number, end: number, sign: number): void {
    if (kind !== FILL) {
      for (let t = start; t < end; t++) this.free[t]! -= sign;
      this.handsOn += sign * (end - start);
    }
    if (kind > FILL) return;
    const water = this.problem.machines[place]!.water;
    if (this.limited[water]) {
      const flow = this.flow[water]!;
      const add = sign * this.machineFlow[place]!;
      for (let t = start; t < end; t++) flow[t]! += add;
    }
    for (const i of this.draws[kind]![bath + 1]!)
      this.used[i]! += sign * this.amount(i, place, kind, end - start);
  }

  /** What an operation takes of a supply that it draws on. */
  amount(i: number, m: number, kind: number, length: number): number {
    const supply = this.problem.supplies[i]!;
    const once = kind === CIRCUIT ? supply.perCircuit : kind === FILL ? supply.perFill : 0;
    return once + supply.perMinute[m]! * length;
  }

  /** First minute from `s` on at which the supplies for an operation are there, NEVER when they run out before. */
  supplied(m: number, kind: number, bath: number, length: number, s: number): number {
    const { supplies } = this.problem;
    let from = s;
    for (const i of this.draws[kind]![bath + 1]!) {
      const wanted = this.amount(i, m, kind, length);
      const { onHand, deliveries } = supplies[i]!;
      let there = onHand - this.used[i]! - wanted;
      if (there >= 0 || wanted === 0) continue;
      for (const { at, quantity } of deliveries) {
        if (there >= 0 && at > from) break;
        there += quantity;
        if (at > from && there >= 0) from = at;
      }
      if (there < 0) return NEVER;
    }
    return from;
  }

  /** First minute from `s` on at which a technician is free for `length` minutes; NEVER when there is none. */
  handsFree(s: number, length: number): number {
    const { free } = this;
    const horizon = free.length;
    let from = s;
    for (;;) {
      if (from + length > horizon) return NEVER;
      let t = from + length - 1;
      while (t >= from && free[t]! > 0) t--;
      if (t < from) return from;
      from = t + 1;
    }
  }

  /** Last minute up to `s` at which a technician is free for `length` minutes; -1 when there is none. */
  handsFreeBefore(s: number, length: number): number {
    const { free } = this;
    let from = Math.min(s, free.length - length);
    for (;;) {
      if (from < 0) return -1;
      let t = from;
      while (t < from + length && free[t]! > 0) t++;
      if (t === from + length) return from;
      from = t - length;
    }
  }

  /** First start from `s` on at which the water source can feed this machine for as long. */
  flowFree(w: number, m: number, s: number, end: number): number {
    if (!this.limited[w]) return s;
    const flow = this.flow[w]!;
    const most = this.capacity[w]! - this.machineFlow[m]!;
    if (most < 0) return NEVER;
    for (let t = Math.min(end, flow.length) - 1; t >= s; t--) if (flow[t]! > most) return t + 1;
    return s;
  }

  /** First minute from `s` on that begins `length` minutes inside one window of the machine; NEVER when there is none. */
  windowAt(m: number, s: number, length: number): number {
    const from = this.windowFrom[m]!;
    const to = this.windowTo[m]!;
    for (let i = 0; i < from.length; i++) {
      const start = Math.max(s, from[i]!);
      if (start + length <= to[i]!) return start;
    }
    return NEVER;
  }

  windowEnd(m: number, s: number): number {
    const from = this.windowFrom[m]!;
    const to = this.windowTo[m]!;
    for (let i = 0; i < from.length; i++) if (s >= from[i]! && s < to[i]!) return to[i]!;
    return s;
  }

  /** The operations as a plan file lists them, without these fills (by operation) and their swaps. */
  activities(useless: readonly number[]): Activity[] {
    const { machines, water, baths } = this.problem;
    const out = new Set(useless.map((i) => `${this.ops[i * STRIDE + 1]} ${this.ops[i * STRIDE + 4]}`));
    const list: Activity[] = [];
    for (let i = 0; i < this.count; i++) {
      const [kind, place, bath, start, end] = [...this.ops.subarray(i * STRIDE, i * STRIDE + 5)] as [
        number,
        number,
        number,
        number,
        number,
      ];
      if (kind === GONE) continue;
      const name = KINDS[kind]!;
      if (kind === FILL && out.has(`${place} ${end}`)) continue;
      if (kind === SWAP && out.has(`${place} ${start}`)) continue;
      if (name === 'test') list.push({ kind: name, water: water[place]!.id, start, end });
      else if (name === 'swap') list.push({ kind: name, machine: machines[place]!.id, start, end });
      else list.push({ kind: name, machine: machines[place]!.id, bath: baths[bath]!, start, end });
    }
    return list;
  }
}
