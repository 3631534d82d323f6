import type { Problem } from '../../scenario/problem/types.ts';

/** Kinds of work, as the numbers that stand for them in `Occupancy.ops`. */
export const CIRCUIT = 0;
export const BATH = 1;
export const FILL = 2;
export const SWAP = 3;
export const TEST = 4;
/** In place of a test that was taken back: the others keep their places. */
export const GONE = 5;
export const DUTY = 6;
export const KINDS = ['circuit', 'bath', 'fill', 'swap', 'test', '', 'duty'] as const;

/** Later than any minute. */
export const NEVER = 1 << 30;

/** What is to be done where, not yet when. */
export interface Work {
  kind: number;
  /** A machine; of a test a water source; of a duty which occurrence it is. */
  place: number;
  /** -1: none. */
  bath: number;
  /** Of the machine's line; -1: of none. */
  segment: number;
}

/** One time that a duty is due. Machine, source and duty by number, -1: none. */
export interface Occurrence {
  readonly duty: number;
  /** When it is due, as its duty says. */
  readonly due: number;
  /** It begins in from..latest. */
  readonly from: number;
  readonly latest: number;
  readonly minutes: number;
  readonly technicians: number;
  readonly machine: number;
  /** Its place; of a machine's duty -1, see `source`. */
  readonly water: number;
  /** The source that it draws `flow` from. */
  readonly source: number;
  readonly flow: number;
  readonly endsCircuit: boolean;
  readonly voidsTests: boolean;
}

/** All occurrences that are still to come at minute `now`, duty by duty. */
export const occurrencesOf = ({ duties, machines, now, horizon }: Problem): Occurrence[] =>
  duties.flatMap(
    ({ place, at, minutes, slack, early = 0, technicians, flow, endsCircuit, voidsTests }, duty) => {
      const machine = place?.kind === 'machine' ? place.index : -1;
      const water = place?.kind === 'water' ? place.index : -1;
      const source = machine >= 0 ? machines[machine]!.water : water;
      return at.flatMap((minute) =>
        minute + slack < now
          ? []
          : {
              duty,
              due: minute,
              from: Math.max(now, minute - early),
              latest: Math.min(minute + slack, Math.max(minute, horizon - minutes)),
              minutes,
              technicians,
              machine,
              water,
              source,
              flow,
              endsCircuit,
              voidsTests,
            },
      );
    },
  );
