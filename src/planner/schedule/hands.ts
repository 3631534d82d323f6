import type { Problem } from '../../scenario/problem/types.ts';
import { NEVER } from './work.ts';

/** Technicians on shift and not yet at work, minute by minute. */
export class Hands {
  readonly free: Int16Array;
  /** The first staffed minute from each minute on; NEVER: none. */
  readonly nextStaffed: Int32Array;

  constructor({ staff, horizon }: Problem) {
    this.free = Int16Array.from(staff);
    this.nextStaffed = new Int32Array(horizon + 1);
    this.nextStaffed[horizon] = NEVER;
    for (let t = horizon - 1; t >= 0; t--) this.nextStaffed[t] = staff[t]! > 0 ? t : this.nextStaffed[t + 1]!;
  }

  /** Adds technicians to those free in start..end-1, or, below 0, takes them. */
  add(start: number, end: number, technicians: number): void {
    const { free } = this;
    for (let t = start; t < end; t++) free[t]! += technicians;
  }

  /** First minute from `s` on at which a technician is free for `length` minutes; NEVER when there is none. */
  from(s: number, length: number): number {
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
  before(s: number, length: number): number {
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
}
