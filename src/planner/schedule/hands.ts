import type { Problem } from '../../scenario/problem/types.ts';
import { BATH, CIRCUIT, DUTY, FILL, NEVER, type Occurrence, SWAP, TEST } from './work.ts';

/** Technicians on shift and not yet at work or on their way, minute by minute. */
export class Hands {
  readonly free: Int16Array;
  /** The first staffed minute from each minute on; NEVER: none. */
  readonly nextStaffed: Int32Array;
  /** Everything takes one technician for its whole length and nobody walks: what most sites type. */
  readonly plain: boolean;
  /** A technician's minutes at a fill that begins; 0: none is needed. */
  readonly fillStart: number;
  readonly walk: number;
  /** How much hands-on work ends, [place (machines, then sources) x minutes]; empty where nobody walks. */
  readonly ends: Uint8Array;
  private readonly minutesKept: number;
  private readonly machines: number;
  /** Technicians by kind of work; a duty's are its own. */
  private readonly takes: readonly number[];
  private readonly occurrences: readonly Occurrence[];

  constructor({ staff, horizon, rules, machines, water }: Problem, occurrences: readonly Occurrence[]) {
    this.free = Int16Array.from(staff);
    this.nextStaffed = new Int32Array(horizon + 1);
    this.nextStaffed[horizon] = NEVER;
    for (let t = horizon - 1; t >= 0; t--) this.nextStaffed[t] = staff[t]! > 0 ? t : this.nextStaffed[t + 1]!;
    const { circuit, bath, swap, test } = rules.hands;
    const takes: number[] = [];
    takes[CIRCUIT] = circuit;
    takes[BATH] = bath;
    takes[FILL] = rules.fillStartMinutes > 0 ? 1 : 0;
    takes[SWAP] = swap;
    takes[TEST] = test;
    this.takes = takes;
    this.fillStart = rules.fillStartMinutes;
    this.walk = rules.walkMinutes;
    this.plain = this.walk === 0 && [circuit, bath, swap, test].every((hands) => hands === 1);
    this.machines = machines.length;
    this.minutesKept = horizon + 1;
    this.ends = new Uint8Array(this.walk > 0 ? (machines.length + water.length) * this.minutesKept : 0);
    this.occurrences = occurrences;
  }

  /** Technicians that work takes. */
  of(kind: number, place: number): number {
    return kind === DUTY ? this.occurrences[place]!.technicians : this.takes[kind]!;
  }

  /** Minutes of hands-on work in work of a length. */
  minutes(kind: number, length: number): number {
    return kind === FILL ? this.fillStart : length;
  }

  /** Where work is done, as a number among `ends`; -1: nowhere, one always walks there. */
  private placeOf(kind: number, place: number): number {
    if (kind === TEST) return this.machines + place;
    if (kind !== DUTY) return place;
    const { machine, water } = this.occurrences[place]!;
    return water >= 0 ? this.machines + water : machine;
  }

  /** Minutes of walking before work that begins at `start`: none where hands-on work at its place ends then. */
  walkBefore(kind: number, place: number, start: number): number {
    const { walk } = this;
    if (walk === 0) return 0;
    const where = this.placeOf(kind, place);
    if (where >= 0 && start < this.minutesKept && this.ends[where * this.minutesKept + start]! > 0) return 0;
    return Math.max(0, Math.min(walk, start));
  }

  /** Hands-on work ends there and then (sign 1), or does not after all (-1). */
  noteEnd(kind: number, place: number, end: number, sign: number): void {
    if (this.walk === 0 || this.of(kind, place) === 0) return;
    const where = this.placeOf(kind, place);
    // What is under way from before the start can end before it: nobody begins there then.
    if (where >= 0 && end >= 0 && end < this.minutesKept) this.ends[where * this.minutesKept + end]! += sign;
  }

  /** Adds technicians to those free in start..end-1, or, below 0, takes them. */
  add(start: number, end: number, technicians: number): void {
    const { free } = this;
    for (let t = start; t < end; t++) free[t]! += technicians;
  }

  /** First minute from `s` on at which so many technicians are free for `length` minutes; NEVER when there is none. */
  private freeFrom(s: number, length: number, technicians: number): number {
    const { free } = this;
    const horizon = free.length;
    let from = s;
    for (;;) {
      if (from + length > horizon) return NEVER;
      let t = from + length - 1;
      while (t >= from && free[t]! >= technicians) t--;
      if (t < from) return from;
      from = t + 1;
    }
  }

  private freeBefore(s: number, length: number, technicians: number): number {
    const { free } = this;
    let from = Math.min(s, free.length - length);
    for (;;) {
      if (from < 0) return -1;
      let t = from;
      while (t < from + length && free[t]! >= technicians) t++;
      if (t === from + length) return from;
      from = t - length;
    }
  }

  /** Whether there are hands for work of `length` minutes from `s` on, and to walk to it. */
  there(kind: number, place: number, s: number, length: number): boolean {
    const { free } = this;
    if (s + length > free.length) return false;
    const technicians = this.of(kind, place);
    if (technicians === 0) return true;
    for (let t = s + length - 1; t >= s; t--) if (free[t]! < technicians) return false;
    for (let t = s - this.walkBefore(kind, place, s); t < s; t++) if (free[t]! < technicians) return false;
    return true;
  }

  /** The last (or first) minute of start..end-1 at which fewer technicians are free than wanted; -1: there is none. */
  takenIn(technicians: number, start: number, end: number, last: boolean): number {
    if (technicians === 0) return -1;
    const { free } = this;
    const until = Math.min(free.length, end);
    if (last) {
      for (let t = until - 1; t >= start; t--) if (free[t]! < technicians) return t;
    } else for (let t = start; t < until; t++) if (free[t]! < technicians) return t;
    return -1;
  }

  /** First minute from `s` on at which there are hands for work of `length` minutes, and to walk to it; NEVER: none. */
  from(kind: number, place: number, s: number, length: number): number {
    if (this.plain && kind !== DUTY && kind !== FILL) return this.freeFrom(s, length, 1);
    const technicians = this.of(kind, place);
    if (technicians === 0) return s + length > this.free.length ? NEVER : s;
    const near = this.walkBefore(kind, place, s);
    const first = this.freeFrom(s - near, length + near, technicians);
    if (first === s - near) return s;
    if (this.walk === 0 || first >= NEVER) return first;
    // Whoever walks in full wants at least what was sought so far.
    for (let start = Math.max(s + 1, first + near); ; ) {
      const walk = Math.max(0, Math.min(this.walk, start));
      const free = this.freeFrom(start - walk, length + walk, technicians);
      if (free >= NEVER || free === start - walk) return free >= NEVER ? NEVER : start;
      start = free + walk;
    }
  }

  /** Last minute up to `s` at which there are hands for work of `length` minutes, and to walk to it; -1: none. */
  before(kind: number, place: number, s: number, length: number): number {
    if (this.plain) return this.freeBefore(s, length, 1);
    const technicians = this.of(kind, place);
    if (technicians === 0) return Math.min(s, this.free.length - length);
    const { walk } = this;
    const free = this.freeBefore(s - walk, length + walk, technicians);
    if (free >= 0) return free + walk;
    for (let start = Math.min(s, walk - 1); start >= 0; start--)
      if (this.freeFrom(0, start + length, technicians) === 0) return start;
    return -1;
  }
}
