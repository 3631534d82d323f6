import type { Activity } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { Floor, type State } from './floor.ts';
import { GiveWay } from './giveWay.ts';
import { dropIdleTests } from './idleTests.ts';
import type { Decider } from './segment.ts';
import { BATH, CIRCUIT, FILL, NEVER, SWAP, type Work } from './work.ts';

const ignore = () => NEVER;
/** Said instead of a minute: the dispatch is not worth going on with. */
export const GIVE_UP = -1;
const OK = 0;
const NO_LIFE = 1;
const NO_ROOM = 2;
/** A machine is quicker than another one when it makes more bags in a minute, by this factor at least. */
const QUICKER = 1.05;
/** Places looked at for one thing at most, and for a new circuit with a fill behind it. */
const PLACES = 500;
const CIRCUIT_PLACES = 4;

/**
 * Turns decisions into a schedule to the minute that obeys every rule of section "What makes a plan valid", by placing
 * one fill after the other, always on the machine that is free first, together with what it needs: circuit or bath
 * change, swap, chlorine tests. Nothing is placed that breaks a rule, so whatever comes out is valid. This is the hot
 * loop of the search: it works in typed arrays that are made once.
 */
export class Dispatcher {
  readonly floor: Floor;
  private readonly problem: Problem;
  private readonly giveWay: GiveWay;
  /** First minute from each on at which somebody comes on shift after nobody was. */
  private readonly shiftFrom: Int32Array;
  /** How long before its latest minute a test is given its technician, min. */
  private readonly ahead: number;
  private readonly running: readonly number[][];
  /** Machines for which each one leaves water. */
  private readonly quicker: readonly (readonly number[])[];
  private readonly setUp: Work = { kind: CIRCUIT, place: 0, bath: 0, segment: 0 };
  private readonly filling: Work = { kind: FILL, place: 0, bath: 0, segment: 0 };
  /** When the machine at hand is asked again, since a quicker one comes first; 0: none does. */
  private yieldsTo = 0;
  /** Whether the technician of a set-up may make the test before it: lines, with a fill behind each, seldom gain by that. */
  private alone = false;
  /** Minutes between set-up and fill of what is being placed. */
  private hold = 0;
  private readonly swap: Work = { kind: SWAP, place: 0, bath: 0, segment: 0 };

  /**
   * @param wanted as for Floor: a fill ends then, or after all of them
   * @param quickFirst a fill begins only where the source can feed every quicker machine too that is free by then
   */
  constructor(problem: Problem, wanted?: readonly Uint8Array[], quickFirst = false) {
    this.problem = problem;
    this.quicker = quickFirst ? quickerThan(problem) : problem.machines.map(() => []);
    this.floor = new Floor(problem, wanted);
    this.giveWay = new GiveWay(this.floor);
    const { horizon, staff, machines, rules } = problem;
    this.running = problem.water.map(() => []);
    this.ahead = 2 * (Math.max(0, ...machines.map((m) => m.longest)) + rules.swapMinutes);
    this.shiftFrom = new Int32Array(horizon + 2).fill(NEVER);
    for (let t = horizon - 1; t > 0; t--)
      this.shiftFrom[t] = staff[t]! > 0 && staff[t - 1]! === 0 ? t : this.shiftFrom[t + 1]!;
  }

  /** See `Floor.freeze`. */
  freeze(activities: readonly Activity[], now: number): void {
    this.floor.freeze(activities, now);
  }

  /**
   * A whole dispatch: what the decider wants, from the start (or the end of history) to the horizon. False: given up half-way.
   * @param mark as for `work`. Default: never called
   */
  run(decider: Decider, markAt = NEVER, mark: (at: number) => number = ignore): boolean {
    this.floor.restore(null);
    decider.reset();
    return this.work(decider, markAt, mark);
  }

  /** Goes on from a state captured before; the decider must stand where it stood then. False: given up half-way. */
  resume(decider: Decider, from: State | null, markAt: number, mark: (at: number) => number): boolean {
    this.floor.restore(from);
    return this.work(decider, markAt, mark);
  }

  /**
   * Places one thing alone, as soon as it may be: a circuit, a bath change, or a fill with its swap on the circuit in place.
   * Returns the minute at which it begins; -1: there is no room for it.
   */
  place(kind: number, m: number, bath: number, at: number): number {
    const { rules } = this.problem;
    const { floor } = this;
    if (rules.releaseAfterTest) this.releaseTests(at);
    const length = kind === CIRCUIT ? rules.circuitMinutes : kind === BATH ? rules.bathMinutes : 0;
    this.clearDuty(m, at, length);
    this.hand(m, bath, -1);
    this.alone = true;
    const lifeEnd = kind === CIRCUIT ? NEVER : floor.lifeEnd(m);
    if (kind === FILL) return this.placeFill(at, lifeEnd) === OK ? floor.held.lastStart(FILL, m) : -1;
    const ends = this.placeSetup(kind, at, length, lifeEnd);
    if (ends < 0) return -1;
    floor.bathOn[m] = bath;
    if (kind === CIRCUIT) floor.since[m] = ends - length;
    return ends - length;
  }

  /** Nothing more is placed: the tests that release what is filled go in, and those that nothing needs are taken back. */
  finish(): void {
    if (this.problem.rules.releaseAfterTest) this.releaseTests(NEVER);
    dropIdleTests(this.floor.held, this.running);
  }

  /** Says for whom, and for which segment of its line, something is placed next. */
  private hand(m: number, bath: number, segment: number): void {
    this.floor.held.settle();
    for (const work of [this.setUp, this.filling, this.swap]) {
      work.place = m;
      work.bath = bath;
      work.segment = segment;
    }
  }

  /** The machine that is free first; -1: none is asked any more. */
  private firstFree(): number {
    const { active, held } = this.floor;
    const { ready } = held;
    let first = -1;
    let at = NEVER;
    for (let m = 0; m < active.length; m++)
      if (active[m] && ready[m]! < at) {
        first = m;
        at = ready[m]!;
      }
    return first;
  }

  /**
   * @param mark called between two decisions once all machines are busy until `markAt`; says when to be called next, or
   * GIVE_UP
   */
  private work(decider: Decider, markAt: number, mark: (at: number) => number): boolean {
    const { active, held } = this.floor;
    const { ready, windows } = held;
    let nextMark = markAt;
    for (;;) {
      const m = this.firstFree();
      if (m < 0) {
        this.finish();
        return true;
      }
      const at = ready[m]!;
      if (this.problem.rules.releaseAfterTest) this.releaseTests(at);
      if (at >= nextMark) {
        nextMark = mark(at);
        if (nextMark === GIVE_UP) return false;
      }
      const inWindow = windows.from(m, at, 1);
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
      this.yieldsTo = 0;
      const done = this.fill(m, decider, at);
      if (!done && this.yieldsTo > at) ready[m] = this.yieldsTo;
      else decider.placed(m, done);
    }
  }

  /** One fill with its setup and swap; false (and nothing changed) when there is no room for it any more. */
  private fill(m: number, { bath, fresh, stay, hold, segment }: Decider, at: number): boolean {
    const { longest, shortest } = this.problem.machines[m]!;
    const { held, bathOn } = this.floor;
    if (longest < shortest) return false;
    this.clearDuty(m, at, this.setUpMinutes(m, bath, fresh));
    this.hold = hold;
    this.hand(m, bath, segment);
    this.alone = false;
    const result = fresh || bathOn[m]! < 0 ? NO_LIFE : this.onCircuit(m, bath, at);
    if (result === OK) return true;
    if (result === NO_LIFE && !stay && this.onNewCircuit(m, bath, at)) return true;
    held.ready[m] = at;
    return false;
  }

  /** What a fill wants first, as things stand. */
  private setUpMinutes(m: number, bath: number, fresh: boolean): number {
    const { circuitMinutes, bathMinutes } = this.problem.rules;
    const runs = this.floor.bathOn[m]!;
    if (fresh || runs < 0) return circuitMinutes;
    return runs === bath ? 0 : bathMinutes;
  }

  /** A fill on the circuit in place, its bath changed first where it must be; nothing is placed unless OK comes back. */
  private onCircuit(m: number, bath: number, at: number): number {
    const { rules, machines } = this.problem;
    const { held, bathOn } = this.floor;
    const saved = held.count;
    const before = bathOn[m]!;
    const lifeEnd = this.floor.lifeEnd(m);
    const change = before === bath ? 0 : rules.bathMinutes;
    const begin = this.wantedFrom(m, bath, at, change);
    if (begin + change + machines[m]!.shortest + rules.swapMinutes > lifeEnd) return NO_LIFE;
    const from = change > 0 ? this.placeSetup(BATH, begin, change, lifeEnd) : begin;
    bathOn[m] = bath;
    const result = from < 0 ? NO_LIFE : this.placeFill(from + this.hold, lifeEnd);
    if (result === OK) return OK;
    held.undoTo(saved);
    bathOn[m] = before;
    return result;
  }

  /** A fill on a new circuit. That it be as late as the fill behind it allows is not sought: idle life is cheaper than a late bag. */
  private onNewCircuit(m: number, bath: number, at: number): boolean {
    const { circuitMinutes } = this.problem.rules;
    const { held, bathOn, since } = this.floor;
    const saved = held.count;
    const sinceBefore = since[m]!;
    const bathBefore = bathOn[m]!;
    let from = this.wantedFrom(m, bath, at, circuitMinutes);
    for (let tries = 0; tries < CIRCUIT_PLACES; tries++) {
      const ends = this.placeSetup(CIRCUIT, from, circuitMinutes, NEVER);
      if (ends < 0) return false;
      const start = ends - circuitMinutes;
      since[m] = start;
      bathOn[m] = bath;
      if (this.placeFill(ends + this.hold, this.floor.lifeEnd(m)) === OK) return true;
      held.undoTo(saved);
      since[m] = sinceBefore;
      bathOn[m] = bathBefore;
      // Perhaps a stretch without staff or a closed window lay behind it: try from the next window or staffed minute.
      from = this.nextOpening(m, ends);
      if (from >= NEVER) return false;
    }
    return false;
  }

  /** First minute from `at` on from which a set-up and a fill lead to bags that can serve a round. */
  private wantedFrom(m: number, bath: number, at: number, setup: number): number {
    const length = setup + this.overnight(m, at) + this.problem.machines[m]!.shortest;
    return Math.max(at, this.floor.nextWanted[bath]![Math.min(this.problem.horizon, at + length)]! - length);
  }

  /** The wait after a set-up where it lasts until a later window, such as the next day's: the fill that is wanted is that one. */
  private overnight(m: number, at: number): number {
    return this.hold > 0 && at + this.hold >= this.floor.held.windows.end(m, at) ? this.hold : 0;
  }

  /** First minute after `after` at which staff or a window of the machine begins or a duty there is over; NEVER when none does. */
  private nextOpening(m: number, after: number): number {
    const { horizon } = this.problem;
    const { windows, duties } = this.floor.held;
    const shift = after < horizon ? this.shiftFrom[after + 1]! : NEVER;
    const next = Math.min(shift, windows.opensAfter(m, after), duties.overAfter(m, after));
    return next < horizon ? next : NEVER;
  }

  /** The set-up at hand, a circuit or a bath change, at the first minute it fits; returns its end, or -1. */
  private placeSetup(kind: number, from: number, length: number, lifeEnd: number): number {
    const { machines, horizon } = this.problem;
    const { setUp } = this;
    const { held } = this.floor;
    const m = setUp.place;
    const { water } = machines[m]!;
    setUp.kind = kind;
    let s = Math.max(from, held.now);
    for (let guard = 0; guard < PLACES; guard++) {
      s = held.windows.from(m, s, length);
      if (s + length > horizon || s + length > lifeEnd) return -1;
      let next = this.giveWay.handsFree(kind, m, s, length);
      if (next === s) next = held.flows.from(m, s, s + length);
      if (next === s) next = held.stores.there(setUp, length, s);
      if (next !== s) {
        s = next;
        continue;
      }
      const saved = held.count;
      held.commit(setUp, s, s + length);
      const untested = held.ensureTests(water, s, s + length);
      if (untested < 0) {
        held.ready[m] = s + length;
        return s + length;
      }
      if (this.alone) held.undoTo(saved);
      next = Math.max(s + 1, held.nextTestEnd(water, untested));
      held.undoTo(saved);
      s = next;
    }
    return -1;
  }

  /** The fill at hand with its swap, at the first minute it fits. */
  private placeFill(from: number, lifeEnd: number): number {
    const { machines, horizon, rules } = this.problem;
    const { filling, swap } = this;
    const { held } = this.floor;
    const m = filling.place;
    const { shortest, longest, water } = machines[m]!;
    const { swapMinutes } = rules;
    let s = Math.max(from, held.now);
    for (let guard = 0; guard < PLACES; guard++) {
      s = held.windows.from(m, s, shortest);
      if (s >= horizon) return NO_ROOM;
      const manned = this.mannedFrom(m, s);
      if (manned !== s) {
        if (manned >= NEVER) return NO_ROOM;
        s = manned;
        continue;
      }
      if (s + shortest + swapMinutes > horizon) return NO_ROOM;
      if (s + shortest + swapMinutes > lifeEnd) return NO_LIFE;
      const e = this.endOf(m, s);
      const wanted = this.floor.nextWanted[filling.bath]![Math.min(e, horizon)]!;
      if (wanted > e) {
        s = wanted - shortest;
        continue;
      }
      if (e + swapMinutes > horizon) return NO_ROOM;
      if (e > Math.min(s + longest, held.windows.end(m, s)) || e + swapMinutes > lifeEnd) {
        s = Math.max(s + 1, e - longest);
        continue;
      }
      let next = held.flows.from(m, s, e);
      if (next === s && this.starves(m, s, e)) return NO_ROOM;
      if (next === s) next = held.stores.there(filling, e - s, s);
      if (next !== s) {
        if (next >= NEVER) return NO_ROOM;
        s = next;
        continue;
      }
      const saved = held.count;
      held.commit(swap, e, e + swapMinutes);
      next = this.begin(s, e);
      if (next === s) {
        held.ready[m] = e + swapMinutes;
        this.foresee(water, s);
        return OK;
      }
      held.undoTo(saved);
      s = next;
    }
    return NO_ROOM;
  }

  /** Whether a fill leaves too little water for a quicker machine that is free before it ends: that one is asked first. */
  private starves(m: number, s: number, e: number): boolean {
    const { active, held } = this.floor;
    const { flows, ready } = held;
    const quicker = this.quicker[m]!;
    for (const one of quicker) {
      if (!active[one] || ready[one]! >= e) continue;
      let spared = 0;
      for (const other of quicker)
        if (active[other] && ready[other]! <= ready[one]!) spared += flows.of(other);
      const free = Math.max(s, ready[one]!);
      if (flows.from(m, free, e, spared) === free) continue;
      this.yieldsTo = ready[one]! + 1;
      return true;
    }
    return false;
  }

  /** Books the fill at hand with its tests; where that cannot be, the next minute to try. */
  private begin(s: number, e: number): number {
    const { filling } = this;
    const { held } = this.floor;
    const { water } = this.problem.machines[filling.place]!;
    const { fillStart } = held.hands;
    const mark = held.count;
    // Its own hands first: a test as late as may be would take them just before.
    if (fillStart > 0) {
      if (!held.hands.there(FILL, filling.place, s, fillStart)) return s + 1;
      held.commit(filling, s, e);
    }
    const untested = held.ensureTests(water, s, e);
    if (untested >= 0) {
      held.undoTo(mark);
      return Math.max(s + 1, held.nextTestEnd(water, untested));
    }
    if (fillStart === 0) held.commit(filling, s, e);
    return s;
  }

  /** First minute from `s` on at which a fill may begin: somebody is on shift, or free where it takes somebody. */
  private mannedFrom(m: number, s: number): number {
    const { hands } = this.floor.held;
    return hands.fillStart > 0 ? this.giveWay.handsFree(FILL, m, s, hands.fillStart) : hands.nextStaffed[s]!;
  }

  /** First end of a fill from `s` at which hands and window allow its swap. */
  private endOf(m: number, s: number): number {
    const { swapMinutes } = this.problem.rules;
    const { windows } = this.floor.held;
    let e = s + this.problem.machines[m]!.shortest;
    for (;;) {
      const hands = this.giveWay.handsFree(SWAP, m, e, swapMinutes);
      e = windows.from(m, hands, swapMinutes);
      if (e === hands) return e;
    }
  }

  /**
   * Keeps a technician for the source's next test before swaps take all the time around its latest minute: a test that
   * finds no room stops every machine of the source.
   */
  private foresee(w: number, now: number): void {
    const { testEvery, testMinutes } = this.problem.water[w]!;
    const { held } = this.floor;
    const ends = held.tests.ends[w]!;
    const last = ends[ends.length - 1]!;
    const due = last + testEvery + 1;
    // A test before a duty that voids it would be in vain.
    if (held.tests.servesTo(w, last) < due) return;
    if (due <= now || due > now + this.ahead) return;
    const start = held.testBefore(w, due - testMinutes);
    if (start >= held.now && start + testMinutes > Math.max(last, now)) held.commitTest(w, start);
  }

  /**
   * A duty at the machine that the next fill would run into is moved: behind the fill, where it may be that late, else as
   * soon as may be.
   */
  private clearDuty(m: number, at: number, setUp: number): void {
    const { held } = this.floor;
    const { duties } = held;
    const list = duties.atMachine[m]!;
    if (list.length === 0) return;
    const { rules, machines } = this.problem;
    const done = at + setUp + machines[m]!.shortest + rules.swapMinutes;
    for (const one of list) {
      const start = duties.start[one]!;
      if (start < at || start >= done) continue;
      if (!this.giveWay.moveDuty(one, done, NEVER)) this.giveWay.moveDuty(one, at, start - 1);
      return;
    }
  }

  /** Tests, as late as may be before each bag round, that release what is filled for it; those in vain are dropped at the end. */
  private releaseTests(at: number): void {
    const { rounds, water, horizon } = this.problem;
    const { held, nextRelease } = this.floor;
    for (let w = 0; w < water.length; w++)
      for (; nextRelease[w]! <= rounds.length; nextRelease[w]! += 1) {
        const due = rounds[nextRelease[w]!]?.at ?? horizon;
        const { testMinutes } = water[w]!;
        if (due - this.ahead > at) break;
        const start = held.testBefore(w, due - testMinutes);
        if (start < held.now || held.tests.ends[w]!.includes(start + testMinutes)) continue;
        held.commitTest(w, start);
      }
  }
}

/** For each machine those of its source that make more bags in a minute. */
function quickerThan({ machines, rules }: Problem): number[][] {
  const rates = machines.map(({ usable, shortest }) => usable / (shortest + rules.swapMinutes));
  return machines.map(({ water }, m) =>
    machines.flatMap((other, k) => (other.water === water && rates[k]! > rates[m]! * QUICKER ? k : [])),
  );
}

/** Whether it matters which machine is fed first: some source cannot always feed all of its machines, and some are quicker. */
export function quickMatters(problem: Problem): boolean {
  const { water, machines } = problem;
  const quicker = quickerThan(problem);
  return water.some(({ capacities }, w) => {
    const mine = machines.flatMap((one, m) => (one.water === w ? m : []));
    const all = mine.reduce((sum, m) => sum + machines[m]!.flow, 0);
    return mine.some((m) => quicker[m]!.length > 0) && capacities.some(({ capacity }) => capacity < all);
  });
}
