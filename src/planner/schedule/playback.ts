import type { Decider, Lines } from './segment.ts';

/** Plays back segments: each machine works down its line. A segment that finds no room is given up. */
export class Playback implements Decider {
  bath = 0;
  fresh = false;
  stay = false;
  notBefore = 0;
  hold = 0;
  segment = 0;
  lines: Lines = [];
  /** Segment that each machine is at, and its fills so far. */
  readonly at: Int32Array;
  readonly done: Int32Array;

  constructor(machines: number) {
    this.at = new Int32Array(machines);
    this.done = new Int32Array(machines);
  }

  reset(): void {
    this.at.fill(0);
    this.done.fill(0);
  }

  next(machine: number): boolean {
    const line = this.lines[machine]!;
    const at = this.at[machine]!;
    if (at >= line.length) return false;
    const segment = line[at]!;
    const done = this.done[machine]!;
    this.bath = segment.bath;
    this.fresh = segment.fresh && done === 0;
    this.stay = segment.toEnd && done > 0;
    this.notBefore = done === 0 ? segment.notBefore : 0;
    this.hold = done === 0 ? (segment.hold ?? 0) : 0;
    this.segment = at;
    return true;
  }

  placed(machine: number, done: boolean): void {
    this.done[machine]! += 1;
    if (!done || this.done[machine]! >= this.lines[machine]![this.at[machine]!]!.fills) {
      this.at[machine]! += 1;
      this.done[machine] = 0;
    }
  }
}
