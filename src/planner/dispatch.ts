import { places, scaled } from '../exact/fraction.ts';
import type { Activity } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem.ts';

/** So many fills of one bath in a row on one machine. */
export interface Segment {
  readonly bath: number;
  /** At most. */
  readonly fills: number;
  /** Stop sooner, when the circuit in place is used up. */
  readonly toEnd: boolean;
  /** Take a new circuit first, even where the old one would still do. */
  readonly fresh: boolean;
  /** Rest until this minute first. */
  readonly notBefore: number;
}

export const CIRCUIT = 0;
export const BATH = 1;
export const FILL = 2;
export const SWAP = 3;
export const TEST = 4;
const KINDS = ['circuit', 'bath', 'fill', 'swap', 'test'] as const;
/** Numbers that one operation takes in `Dispatcher.ops`: kind, place, bath, start, end, segment. */
export const STRIDE = 6;

const NEVER = 1 << 30;
const ignore = () => NEVER;
const OK = 0;
const NO_LIFE = 1;
const NO_ROOM = 2;

/** Says what a machine does next. Asked when the machine is the first to be free; answers in its own fields. */
export interface Decider {
  /** Begins a new dispatch. */
  reset(): void;
  /** False: this machine rests to the end. Else `bath`, `fresh`, `stay`, `notBefore` and `segment` hold the answer. */
  next(machine: number, at: number): boolean;
  /** The fill just asked for is placed (true) or found no room (false). */
  placed(machine: number, done: boolean): void;
  bath: number;
  fresh: boolean;
  /** Only on the circuit in place: false comes back when it is used up. */
  stay: boolean;
  notBefore: number;
  segment: number;
}

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
 * Turns decisions into a schedule to the minute that obeys every rule of section "What makes a plan valid", by placing
 * one fill after the other, always on the machine that is free first, together with what it needs: circuit or bath
 * change, swap, chlorine tests. Nothing is placed that breaks a rule, so whatever comes out is valid. This is the hot
 * loop of the search: it works in typed arrays that are made once.
 */
export class Dispatcher {
  /** Operations placed, STRIDE numbers each. */
  ops = new Int32Array(STRIDE * 1024);
  count = 0;
  /** Technician minutes of all operations. */
  handsOn = 0;
  readonly problem: Problem;
  private readonly machineCount: number;
  private readonly free: Int16Array;
  private readonly flow: Int32Array[];
  private readonly capacity: number[];
  private readonly machineFlow: number[];
  private readonly limited: boolean[];
  private readonly nextStaffed: Int32Array;
  /** First minute of each machine's windows and their ends. */
  private readonly windowFrom: number[][];
  private readonly windowTo: number[][];
  private readonly testEnds: number[][];
  private readonly used: Float64Array;
  private readonly ready: Float64Array;
  private readonly since: Float64Array;
  private readonly bathOn: Int32Array;
  private readonly active: Uint8Array;
  /** How long before its latest minute a test is given its technician, min. */
  private readonly ahead: number;
  private readonly flows: number[] = [];
  /** Nothing new may start before this minute. */
  private floor = 0;
  private base: State;

  constructor(problem: Problem) {
    this.problem = problem;
    const { machines, water, horizon } = problem;
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

  private restore(state: State): void {
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

  /** A whole dispatch: what the decider wants, from the start (or the end of history) to the horizon. */
  run(decider: Decider): void {
    this.restore(this.base);
    decider.reset();
    this.work(decider, NEVER, ignore);
  }

  /** Goes on from a state captured before; the decider must stand where it stood then. */
  resume(decider: Decider, from: State | null, markAt: number, mark: (at: number) => number): void {
    this.restore(from ?? this.base);
    this.work(decider, markAt, mark);
  }

  /** @param mark called between two decisions once all machines are busy until `markAt`; says when to be called next */
  private work(decider: Decider, markAt: number, mark: (at: number) => number): void {
    const { machineCount, ready, active } = this;
    let nextMark = markAt;
    for (;;) {
      let m = -1;
      let at = NEVER;
      for (let i = 0; i < machineCount; i++)
        if (active[i] && ready[i]! < at) {
          m = i;
          at = ready[i]!;
        }
      if (m < 0) {
        this.dropIdleTests();
        return;
      }
      if (at >= nextMark) nextMark = mark(at);
      const inWindow = this.windowAt(m, at, 1);
      if (inWindow > at) {
        if (inWindow >= NEVER) active[m] = 0;
        else ready[m] = inWindow;
        continue;
      }
      if (!decider.next(m, at)) {
        active[m] = 0;
        continue;
      }
      if (decider.notBefore > at) {
        ready[m] = decider.notBefore;
        continue;
      }
      decider.placed(m, this.fill(m, decider, at));
    }
  }

  /** One fill with its setup and swap; false (and nothing changed) when there is no room for it any more. */
  private fill(m: number, { bath, fresh, stay, segment }: Decider, at: number): boolean {
    const { rules, machines } = this.problem;
    const machine = machines[m]!;
    if (machine.longest < machine.shortest) return false;
    const saved = this.count;
    const since = this.since[m]!;
    const before = this.bathOn[m]!;
    const lifeEnd = since + rules.circuitLife;
    const setup = before === bath ? 0 : rules.bathMinutes;
    if (!fresh && before >= 0 && at + setup + machine.shortest + rules.swapMinutes <= lifeEnd) {
      let from = at;
      if (setup > 0) {
        from = this.placeSetup(m, BATH, bath, at, rules.bathMinutes, lifeEnd, segment);
        this.bathOn[m] = bath;
      }
      if (from >= 0) {
        const result = this.placeFill(m, bath, from, lifeEnd, segment);
        if (result === OK) return true;
        if (result === NO_ROOM) {
          this.undoTo(saved);
          this.bathOn[m] = before;
          this.ready[m] = at;
          return false;
        }
      }
      this.undoTo(saved);
      this.bathOn[m] = before;
    }
    if (stay) {
      this.ready[m] = at;
      return false;
    }
    // A new circuit, as late as the fill behind it allows is not sought: idle life is cheaper than a late bag.
    let from = at;
    for (let tries = 0; tries < 4; tries++) {
      const ends = this.placeSetup(m, CIRCUIT, bath, from, rules.circuitMinutes, NEVER, segment);
      if (ends < 0) break;
      const start = ends - rules.circuitMinutes;
      this.since[m] = start;
      this.bathOn[m] = bath;
      if (this.placeFill(m, bath, ends, start + rules.circuitLife, segment) === OK) return true;
      this.undoTo(saved);
      this.since[m] = since;
      this.bathOn[m] = before;
      // Perhaps a stretch without staff or a closed window lay behind it: try from the next window or staffed minute.
      const later = this.nextOpening(m, ends);
      if (later >= NEVER) break;
      from = later;
    }
    this.ready[m] = at;
    return false;
  }

  /** First minute after `after` at which staff or a window of the machine begins; NEVER when none does. */
  private nextOpening(m: number, after: number): number {
    const { horizon, staff } = this.problem;
    let next = NEVER;
    for (const from of this.windowFrom[m]!) if (from > after && from < next) next = from;
    for (let t = after + 1; t < Math.min(horizon, next); t++)
      if (staff[t]! > 0 && staff[t - 1]! === 0) return t;
    return next < horizon ? next : NEVER;
  }

  /** A circuit or bath change at the first minute it fits; returns its end, or -1. */
  private placeSetup(
    m: number,
    kind: number,
    bath: number,
    from: number,
    length: number,
    lifeEnd: number,
    segment: number,
  ): number {
    const { machines, horizon } = this.problem;
    const water = machines[m]!.water;
    let s = Math.max(from, this.floor);
    for (let guard = 0; guard < 500; guard++) {
      s = this.windowAt(m, s, length);
      if (s + length > horizon || s + length > lifeEnd) return -1;
      const hands = this.handsFree(s, length);
      if (hands !== s) {
        s = hands;
        continue;
      }
      const flows = this.flowFree(water, m, s, s + length);
      if (flows !== s) {
        s = flows;
        continue;
      }
      const supplied = this.supplied(m, kind, bath, length, s);
      if (supplied !== s) {
        if (supplied >= NEVER) return -1;
        s = supplied;
        continue;
      }
      const saved = this.count;
      this.commit(kind, m, bath, s, s + length, segment);
      const tested = this.ensureTests(water, s, s + length);
      if (tested === s) {
        this.ready[m] = s + length;
        return s + length;
      }
      this.undoTo(saved);
      s = tested;
    }
    return -1;
  }

  private placeFill(m: number, bath: number, from: number, lifeEnd: number, segment: number): number {
    const { machines, horizon, rules } = this.problem;
    const { shortest, longest, water } = machines[m]!;
    const swap = rules.swapMinutes;
    let s = Math.max(from, this.floor);
    for (let guard = 0; guard < 500; guard++) {
      s = this.windowAt(m, s, shortest);
      if (s >= horizon) return NO_ROOM;
      const staffed = this.nextStaffed[s]!;
      if (staffed !== s) {
        if (staffed >= NEVER) return NO_ROOM;
        s = staffed;
        continue;
      }
      if (s + shortest + swap > horizon) return NO_ROOM;
      if (s + shortest + swap > lifeEnd) return NO_LIFE;
      const latest = Math.min(s + longest, this.windowEnd(m, s));
      let e = s + shortest;
      for (;;) {
        const hands = this.handsFree(e, swap);
        e = this.windowAt(m, hands, swap);
        if (e === hands) break;
      }
      if (e > latest || e + swap > lifeEnd || e + swap > horizon) {
        if (e + swap > horizon) return NO_ROOM;
        s = Math.max(s + 1, e - longest);
        continue;
      }
      const flows = this.flowFree(water, m, s, e);
      if (flows !== s) {
        s = flows;
        continue;
      }
      const supplied = this.supplied(m, FILL, bath, e - s, s);
      if (supplied !== s) {
        if (supplied >= NEVER) return NO_ROOM;
        s = supplied;
        continue;
      }
      const saved = this.count;
      this.commit(SWAP, m, bath, e, e + swap, segment);
      const tested = this.ensureTests(water, s, e);
      if (tested === s) {
        this.commit(FILL, m, bath, s, e, segment);
        this.ready[m] = e + swap;
        this.foresee(water, s);
        return OK;
      }
      this.undoTo(saved);
      s = tested;
    }
    return NO_ROOM;
  }

  /**
   * Puts in the tests that minutes from..to-1 of flow still want, each as late as it can be. Returns `from`; or, when
   * a test has no room, puts in none and returns the first later minute at which the flow might begin.
   */
  private ensureTests(w: number, from: number, to: number): number {
    const { testEvery, testMinutes } = this.problem.water[w]!;
    const ends = this.testEnds[w]!;
    const saved = this.count;
    let t = from;
    while (t < to) {
      let i = ends.length - 1;
      while (i >= 0 && ends[i]! > t) i--;
      if (i >= 0 && ends[i]! + testEvery >= t) {
        t = ends[i]! + testEvery + 1;
        continue;
      }
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
    return from;
  }

  /**
   * Keeps a technician for the source's next test before swaps take all the time around its latest minute: a test that
   * finds no room stops every machine of the source.
   */
  private foresee(w: number, now: number): void {
    const { testEvery, testMinutes } = this.problem.water[w]!;
    const ends = this.testEnds[w]!;
    const last = ends[ends.length - 1]!;
    const due = last + testEvery + 1;
    if (due <= now || due > now + this.ahead) return;
    const start = this.handsFreeBefore(due - testMinutes, testMinutes);
    if (start >= this.floor && start + testMinutes > Math.max(last, now))
      this.commit(TEST, w, -1, start, start + testMinutes, -1);
  }

  /** Takes back tests that no minute of flow needs, such as one kept for fills that never came. */
  private dropIdleTests(): void {
    const { water, machines } = this.problem;
    for (let w = 0; w < water.length; w++) {
      const ends = this.testEnds[w]!;
      const { testEvery, testMinutes } = water[w]!;
      const flows = this.flows;
      flows.length = 0;
      for (let i = 0; i < this.count; i++) {
        const at = i * STRIDE;
        if (this.ops[at]! > FILL || machines[this.ops[at + 1]!]!.water !== w) continue;
        const start = this.ops[at + 3]!;
        const end = this.ops[at + 4]!;
        const last = flows.length - 1;
        // Operations stand nearly in order: a stretch that starts before the last one only widens it.
        if (last > 0 && start <= flows[last]!) {
          if (end > flows[last]!) flows[last] = end;
          if (start < flows[last - 1]!) flows[last - 1] = start;
        } else flows.push(start, end);
      }
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
      this.ops.copyWithin(at, at + STRIDE, this.count * STRIDE);
      this.count -= 1;
      const ends = this.testEnds[w]!;
      ends.splice(ends.lastIndexOf(end), 1);
      return;
    }
  }

  private commit(
    kind: number,
    place: number,
    bath: number,
    start: number,
    end: number,
    segment: number,
  ): void {
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

  private undoTo(count: number): void {
    while (this.count > count) {
      this.count -= 1;
      const at = this.count * STRIDE;
      const kind = this.ops[at]!;
      const place = this.ops[at + 1]!;
      const end = this.ops[at + 4]!;
      this.apply(kind, place, this.ops[at + 2]!, this.ops[at + 3]!, end, -1);
      if (kind === TEST) {
        const ends = this.testEnds[place]!;
        ends.splice(ends.lastIndexOf(end), 1);
      }
    }
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
    for (let i = 0; i < this.used.length; i++)
      this.used[i]! += sign * this.amount(i, place, kind, bath, end - start);
  }

  private amount(i: number, m: number, kind: number, bath: number, length: number): number {
    const supply = this.problem.supplies[i]!;
    if (supply.bath !== null && supply.bath !== bath) return 0;
    const once = kind === CIRCUIT ? supply.perCircuit : kind === FILL ? supply.perFill : 0;
    return once + supply.perMinute[m]! * length;
  }

  /** First minute from `s` on at which the supplies for an operation are there, NEVER when they run out before. */
  private supplied(m: number, kind: number, bath: number, length: number, s: number): number {
    const { supplies } = this.problem;
    let from = s;
    for (let i = 0; i < supplies.length; i++) {
      const wanted = this.amount(i, m, kind, bath, length);
      if (wanted === 0) continue;
      const { onHand, deliveries } = supplies[i]!;
      let there = onHand - this.used[i]! - wanted;
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
  private handsFree(s: number, length: number): number {
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
  private handsFreeBefore(s: number, length: number): number {
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
  private flowFree(w: number, m: number, s: number, end: number): number {
    if (!this.limited[w]) return s;
    const flow = this.flow[w]!;
    const most = this.capacity[w]! - this.machineFlow[m]!;
    if (most < 0) return NEVER;
    for (let t = Math.min(end, flow.length) - 1; t >= s; t--) if (flow[t]! > most) return t + 1;
    return s;
  }

  /** First minute from `s` on that begins `length` minutes inside one window of the machine; NEVER when there is none. */
  private windowAt(m: number, s: number, length: number): number {
    const from = this.windowFrom[m]!;
    const to = this.windowTo[m]!;
    for (let i = 0; i < from.length; i++) {
      const start = Math.max(s, from[i]!);
      if (start + length <= to[i]!) return start;
    }
    return NEVER;
  }

  private windowEnd(m: number, s: number): number {
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
