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
  /** Let so many minutes pass between set-up and first fill: others take water and hands meanwhile. Default 0. */
  readonly hold?: number;
}
/** Segments by machine: what the search varies. */
export type Line = readonly Segment[];
export type Lines = readonly Line[];

/** More fills than any circuit has life for. */
export const FULL = 999;

/** Says what a machine does next. Asked when the machine is the first to be free; answers in its own fields. */
export interface Decider {
  /** Begins a new dispatch. */
  reset(): void;
  /** False: this machine rests to the end. Else `bath`, `fresh`, `stay`, `notBefore`, `hold` and `segment` hold the answer. */
  next(machine: number, at: number): boolean;
  /** The fill just asked for is placed (true) or found no room (false). */
  placed(machine: number, done: boolean): void;
  bath: number;
  fresh: boolean;
  /** Only on the circuit in place: false comes back when it is used up. */
  stay: boolean;
  notBefore: number;
  hold: number;
  segment: number;
}
