import type { Problem } from '../../scenario/problem/types.ts';
import { NEVER, type Occurrence } from './work.ts';

/** When the duties' occurrences are done, and what that forbids elsewhere. */
export class Duties {
  readonly all: readonly Occurrence[];
  /** Minute at which each one begins; NEVER: not placed. */
  readonly start: Int32Array;
  /** Which operation each one was booked as last. */
  readonly op: Int32Array;
  private readonly minutes: Int32Array;
  /** Occurrences at a machine, and at a source, in the order of the list. */
  readonly atMachine: readonly (readonly number[])[];
  readonly atSource: readonly (readonly number[])[];
  /** Occurrences at a machine that draw water, by source. */
  readonly drawing: readonly (readonly number[])[];
  /** Of those at a machine that end its circuit, of those at a source that void its tests. */
  private readonly enders: readonly (readonly number[])[];
  private readonly voiders: readonly (readonly number[])[];

  constructor({ machines, water }: Problem, all: readonly Occurrence[]) {
    this.all = all;
    this.start = new Int32Array(all.length).fill(NEVER);
    this.op = new Int32Array(all.length).fill(-1);
    const where = (is: (one: Occurrence) => boolean) => all.flatMap((one, index) => (is(one) ? index : []));
    this.atMachine = machines.map((_, m) => where(({ machine }) => machine === m));
    this.atSource = water.map((_, w) => where((one) => one.water === w));
    this.drawing = water.map((_, w) => where((one) => one.machine >= 0 && one.source === w && one.flow > 0));
    this.enders = this.atMachine.map((list) => list.filter((one) => all[one]!.endsCircuit));
    this.voiders = this.atSource.map((list) => list.filter((one) => all[one]!.voidsTests));
    this.minutes = Int32Array.from(all, (one) => one.minutes);
  }

  end(occurrence: number): number {
    return this.start[occurrence]! + this.minutes[occurrence]!;
  }

  private clearOf(list: readonly number[], s: number, length: number): number {
    const { start, minutes } = this;
    let from = s;
    for (let k = 0; k < list.length; k++) {
      const one = list[k]!;
      const begins = start[one]!;
      if (begins >= from + length || begins + minutes[one]! <= from) continue;
      from = begins + minutes[one]!;
      k = -1;
    }
    return from;
  }

  /** First minute from `s` on from which no duty at the machine is under way for `length` minutes. */
  machineFrom(machine: number, s: number, length: number): number {
    return this.clearOf(this.atMachine[machine]!, s, length);
  }

  /** The same at a source, for a test. */
  sourceFrom(water: number, s: number, length: number): number {
    return this.clearOf(this.atSource[water]!, s, length);
  }

  /** Last minute up to `s` with no duty at the source for `length` minutes. */
  sourceBefore(water: number, s: number, length: number): number {
    const list = this.atSource[water]!;
    let from = s;
    for (let k = 0; k < list.length; k++) {
      const one = list[k]!;
      if (this.start[one]! >= from + length || this.end(one) <= from) continue;
      from = this.start[one]! - length;
      k = -1;
    }
    return from;
  }

  /** Begin of the machine's next duty from a minute on; NEVER: none. */
  nextAt(machine: number, minute: number): number {
    let next = NEVER;
    for (const one of this.atMachine[machine]!)
      if (this.start[one]! >= minute && this.start[one]! < next) next = this.start[one]!;
    return next;
  }

  /** First minute after another at which a duty at the machine is over; NEVER: none is. */
  overAfter(machine: number, after: number): number {
    let next = NEVER;
    for (const one of this.atMachine[machine]!)
      if (this.start[one]! < NEVER && this.end(one) > after && this.end(one) < next) next = this.end(one);
    return next;
  }

  /** When a circuit in place since a minute is ended by a duty; NEVER: it is not. */
  circuitEnds(machine: number, since: number): number {
    let ends = NEVER;
    for (const one of this.enders[machine]!)
      if (this.start[one]! >= since && this.start[one]! < ends) ends = this.start[one]!;
    return ends;
  }

  /** First minute at which a test that ended at `end` serves no longer because of a duty; NEVER: none. */
  voidFrom(water: number, end: number): number {
    let from = NEVER;
    for (const one of this.voiders[water]!)
      if (end < this.end(one) && this.start[one]! < from) from = this.start[one]!;
    return from;
  }

  /** A test that serves a minute must begin no sooner than this. */
  soonestTest(water: number, minute: number): number {
    let from = 0;
    for (const one of this.voiders[water]!)
      if (this.start[one]! <= minute && this.end(one) > from) from = this.end(one);
    return from;
  }
}
