import type { Activity } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { assume } from './listing.ts';
import { type Booked, Occupancy } from './occupancy.ts';
import { placeDuties } from './placeDuties.ts';
import { BATH, CIRCUIT, DUTY, TEST } from './work.ts';

/** All that a dispatch has done by some moment, to go on from later. */
export interface State extends Booked {
  readonly since: Float64Array;
  readonly bathOn: Int32Array;
  readonly active: Uint8Array;
  readonly nextRelease: Int32Array;
}

/** The floor during a dispatch: what is booked, and how each machine stands. */
export class Floor {
  readonly problem: Problem;
  readonly held: Occupancy;
  /** When the circuit of each machine was taken, which bath it runs (-1: none in place), whether it is still asked. */
  readonly since: Float64Array;
  readonly bathOn: Int32Array;
  readonly active: Uint8Array;
  /** Bag rounds for which a test has been sought to release what is filled, by source. */
  readonly nextRelease: Int32Array;
  /**
   * First minute from each on at which a fill of a bath may end and serve a round, [bath][minute]; after the last one each
   * minute stands for itself: lines whose end waits, or is given up, were harder to search on.
   */
  readonly nextWanted: readonly Int32Array[];
  private base: State;

  /** @param wanted whether a fill of a bath that ends at a minute can serve a round, [bath][0..horizon]. Default: all */
  constructor(problem: Problem, wanted?: readonly Uint8Array[]) {
    this.problem = problem;
    const { machines, horizon, baths } = problem;
    this.held = new Occupancy(problem);
    this.nextWanted = baths.map((_, bath) => {
      const next = Int32Array.from({ length: horizon + 2 }, (_, t) => t);
      const ends = wanted?.[bath];
      if (ends) for (let t = ends.lastIndexOf(1) - 1; t >= 0; t--) if (ends[t] === 0) next[t] = next[t + 1]!;
      return next;
    });
    this.since = Float64Array.from(machines, (m) => (m.loaded ? m.loaded.since : Number.NaN));
    this.bathOn = Int32Array.from(machines, (m) => (m.loaded ? m.loaded.bath : -1));
    this.active = new Uint8Array(machines.length).fill(1);
    this.nextRelease = new Int32Array(problem.water.length);
    placeDuties(this.held);
    this.held.historyCount = this.held.count;
    this.base = this.capture();
  }

  /** A copy of all that the dispatch has done so far. */
  capture(): State {
    return {
      ...this.held.capture(),
      since: this.since.slice(),
      bathOn: this.bathOn.slice(),
      active: this.active.slice(),
      nextRelease: this.nextRelease.slice(),
    };
  }

  /** The same into a copy that is wanted no more. */
  captureInto(old: State): void {
    this.held.captureInto(old);
    old.since.set(this.since);
    old.bathOn.set(this.bathOn);
    old.active.set(this.active);
    old.nextRelease.set(this.nextRelease);
  }

  /** @param state null: where a dispatch begins, at the start or the end of history */
  restore(state: State | null): void {
    const { since, bathOn, active, nextRelease } = state ?? this.base;
    this.held.restore(state ?? this.base);
    this.since.set(since);
    this.bathOn.set(bathOn);
    this.active.set(active);
    this.nextRelease.set(nextRelease);
  }

  /**
   * Takes these activities (valid among themselves) as history: every dispatch from now on begins with them, and
   * places nothing before minute `now`.
   */
  freeze(activities: readonly Activity[], now: number): void {
    const { held } = this;
    held.undoTo(0);
    held.now = now;
    assume(held, activities, ({ kind, place, bath }, start, end) => {
      if (kind === TEST || kind === DUTY) return;
      held.ready[place] = Math.max(held.ready[place]!, end);
      if (kind === CIRCUIT) this.since[place] = start;
      if (kind === CIRCUIT || kind === BATH) this.bathOn[place] = bath;
    });
    placeDuties(held);
    held.historyCount = held.count;
    for (let m = 0; m < held.ready.length; m++) held.ready[m] = Math.max(held.ready[m]!, now);
    this.base = this.capture();
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

  /** When a machine's circuit must not be used any more: its life is over, or a duty takes it out; minus infinity without one. */
  lifeEnd(machine: number): number {
    const since = this.since[machine]!;
    if (Number.isNaN(since)) return Number.NEGATIVE_INFINITY;
    return Math.min(since + this.problem.rules.circuitLife, this.held.duties.circuitEnds(machine, since));
  }

  /** Minutes of life that a machine's circuit has left at a minute; 0 without a circuit. */
  lifeLeft(machine: number, at: number): number {
    return Math.max(0, this.lifeEnd(machine) - at);
  }
}
