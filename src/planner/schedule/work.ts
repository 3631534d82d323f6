/** Kinds of work, as the numbers that stand for them in `Occupancy.ops`. */
export const CIRCUIT = 0;
export const BATH = 1;
export const FILL = 2;
export const SWAP = 3;
export const TEST = 4;
/** In place of a test that was taken back: the others keep their places. */
export const GONE = 5;
export const KINDS = ['circuit', 'bath', 'fill', 'swap', 'test'] as const;

/** Later than any minute. */
export const NEVER = 1 << 30;

/** What is to be done where, not yet when. */
export interface Work {
  kind: number;
  /** A machine; of a test a water source. */
  place: number;
  /** -1: none. */
  bath: number;
  /** Of the machine's line; -1: of none. */
  segment: number;
}
