import type { Problem } from '../../scenario/problem/types.ts';
import { BATH, Book, CIRCUIT, FILL, NEVER, type State, SWAP, TEST } from './book.ts';
import { GiveWay } from './giveWay.ts';

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

const ignore = () => NEVER;
/** Said instead of a minute: the dispatch is not worth going on with. */
export const GIVE_UP = -1;
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

/**
 * Turns decisions into a schedule to the minute that obeys every rule of section "What makes a plan valid", by placing
 * one fill after the other, always on the machine that is free first, together with what it needs: circuit or bath
 * change, swap, chlorine tests. Nothing is placed that breaks a rule, so whatever comes out is valid. This is the hot
 * loop of the search: it works in typed arrays that are made once.
 */
export class Dispatcher extends Book {
  private readonly giveWay: GiveWay;
  /** First minute from each on at which somebody comes on shift after nobody was. */
  private readonly shiftFrom: Int32Array;

  /** @param wanted as for Book: a fill ends then, or after all of them */
  constructor(problem: Problem, wanted?: readonly Uint8Array[]) {
    super(problem, wanted);
    this.giveWay = new GiveWay(this);
    const { horizon, staff } = problem;
    this.shiftFrom = new Int32Array(horizon + 2).fill(NEVER);
    for (let t = horizon - 1; t > 0; t--)
      this.shiftFrom[t] = staff[t]! > 0 && staff[t - 1]! === 0 ? t : this.shiftFrom[t + 1]!;
  }

  /** A whole dispatch: what the decider wants, from the start (or the end of history) to the horizon. */
  run(decider: Decider): void {
    this.restore(this.base);
    decider.reset();
    this.work(decider, NEVER, ignore);
  }

  /** Goes on from a state captured before; the decider must stand where it stood then. False: given up half-way. */
  resume(decider: Decider, from: State | null, markAt: number, mark: (at: number) => number): boolean {
    this.restore(from ?? this.base);
    return this.work(decider, markAt, mark);
  }

  /**
   * @param mark called between two decisions once all machines are busy until `markAt`; says when to be called next, or
   * GIVE_UP
   */
  private work(decider: Decider, markAt: number, mark: (at: number) => number): boolean {
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
        return true;
      }
      if (at >= nextMark) {
        nextMark = mark(at);
        if (nextMark === GIVE_UP) return false;
      }
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
    this.settle();
    const saved = this.count;
    const since = this.since[m]!;
    const before = this.bathOn[m]!;
    const lifeEnd = since + rules.circuitLife;
    const setup = before === bath ? 0 : rules.bathMinutes;
    const begin = this.wantedFrom(m, bath, at, setup);
    if (!fresh && before >= 0 && begin + setup + machine.shortest + rules.swapMinutes <= lifeEnd) {
      let from = begin;
      if (setup > 0) {
        from = this.placeSetup(m, BATH, bath, begin, rules.bathMinutes, lifeEnd, segment);
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
    let from = this.wantedFrom(m, bath, at, rules.circuitMinutes);
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

  /** First minute from `at` on from which a set-up and a fill lead to bags that can serve a round. */
  private wantedFrom(m: number, bath: number, at: number, setup: number): number {
    const length = setup + this.problem.machines[m]!.shortest;
    return Math.max(at, this.nextWanted[bath]![Math.min(this.problem.horizon, at + length)]! - length);
  }

  /** First minute after `after` at which staff or a window of the machine begins; NEVER when none does. */
  private nextOpening(m: number, after: number): number {
    const { horizon } = this.problem;
    let next = after < horizon ? this.shiftFrom[after + 1]! : NEVER;
    for (const from of this.windowFrom[m]!) if (from > after && from < next) next = from;
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
      const hands = this.giveWay.handsFree(m, s, length);
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
        const hands = this.giveWay.handsFree(m, e, swap);
        e = this.windowAt(m, hands, swap);
        if (e === hands) break;
      }
      const wanted = this.nextWanted[bath]![Math.min(e, horizon)]!;
      if (wanted > e) {
        s = wanted - shortest;
        continue;
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
}
