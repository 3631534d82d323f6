import { places, scaled } from '../../exact/fraction.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { NEVER, type Occurrence } from './work.ts';

/** More than any source gives: taken from the room of one that a duty closes. */
const CLOSED = 1 << 26;

/** What each water source can still feed, minute by minute, in whole parts of a mL/min. */
export class Flows {
  /** Of each machine. */
  private readonly drawn: readonly number[];
  /** Of each occurrence of a duty. */
  private readonly drawnByDuty: readonly number[];
  /** Of a source that can always feed all its machines none is kept. */
  readonly room: readonly Int32Array[];
  /**
   * The first minute from each on at which a source may be short, by source: at the others it feeds all its machines
   * whatever duties draw, and what machines draw then is not kept.
   */
  private readonly scarce: readonly Int32Array[];
  /** The first minute from each on at which it is not short. */
  private readonly ample: readonly Int32Array[];
  private readonly waterOf: readonly number[];
  /** Machines that draw more than their source ever has. */
  private readonly hopeless: readonly boolean[];
  private readonly occurrences: readonly Occurrence[];

  constructor({ machines, water, horizon, duties }: Problem, occurrences: readonly Occurrence[]) {
    const typed = [machines, duties].flatMap((rows) => rows.map(({ flow }) => places(flow)));
    const given = water.flatMap(({ capacities }) => capacities.map(({ capacity }) => places(capacity)));
    const scale = 10 ** Math.max(0, ...typed, ...given);
    this.occurrences = occurrences;
    this.drawn = machines.map((m) => scaled(m.flow, scale));
    this.drawnByDuty = occurrences.map((one) => scaled(one.flow, scale));
    this.waterOf = machines.map((m) => m.water);
    const gives = water.map(({ capacities }) =>
      capacities.map(({ from, capacity }) => ({ from, there: scaled(capacity, scale) })),
    );
    this.hopeless = machines.map((m, i) => gives[m.water]!.every(({ there }) => this.drawn[i]! > there));
    this.room = water.map((_, w) => {
      const all = machines.reduce((sum, m, i) => (m.water === w ? sum + this.drawn[i]! : sum), 0);
      const steps = gives[w]!;
      const dutied = occurrences.some((one) => one.source === w && (one.water === w || one.flow > 0));
      const kept = dutied || steps.some(({ there }) => all > there);
      const room = new Int32Array(kept ? horizon : 0);
      for (const { from, there } of steps) room.fill(there, from);
      return room;
    });
    this.scarce = this.room.map((room, w) => {
      const most = this.mostDrawn(w, room.length);
      const next = new Int32Array(room.length + 1).fill(NEVER);
      for (let t = room.length - 1; t >= 0; t--) next[t] = most[t]! > room[t]! ? t : next[t + 1]!;
      return next;
    });
    this.ample = this.scarce.map((next) => {
      const end = new Int32Array(next.length).fill(next.length - 1);
      for (let t = next.length - 2; t >= 0; t--) end[t] = next[t] === t ? end[t + 1]! : t;
      return end;
    });
  }

  /** The most that can be drawn from a source at each minute: a machine does its own work or one of its duties, never both. */
  private mostDrawn(w: number, minutes: number): Float64Array {
    const all = this.drawn.reduce((sum, own, m) => (this.waterOf[m] === w ? sum + own : sum), 0);
    const most = new Float64Array(minutes).fill(all);
    this.drawn.forEach((own, m) => {
      const more = this.occurrences.flatMap((one, k) =>
        one.machine === m && this.drawnByDuty[k]! > own ? k : [],
      );
      if (this.waterOf[m] !== w || more.length === 0) return;
      const beyond = new Float64Array(minutes);
      for (const k of more) {
        const { from, latest, minutes: length } = this.occurrences[k]!;
        for (let t = Math.max(0, from); t < Math.min(minutes, latest + length); t++)
          beyond[t] = Math.max(beyond[t]!, this.drawnByDuty[k]! - own);
      }
      for (let t = 0; t < minutes; t++) most[t]! += beyond[t]!;
    });
    this.occurrences.forEach((one, k) => {
      if (one.water !== w) return;
      for (let t = Math.max(0, one.from); t < Math.min(minutes, one.latest + one.minutes); t++)
        most[t]! += this.drawnByDuty[k]! + CLOSED;
    });
    return most;
  }

  /** Keeps what machines draw at every minute: for duties that are booked outside the minutes they may be at. Asked before. */
  keepAll(): void {
    for (const next of this.scarce) for (let t = 0; t < next.length - 1; t++) next[t] = t;
    for (const end of this.ample) end.fill(end.length - 1);
  }

  /** A machine draws from its source in start..end-1 (sign 1), or does not after all (-1). */
  draw(machine: number, start: number, end: number, sign: number): void {
    const room = this.room[this.waterOf[machine]!]!;
    if (room.length === 0) return;
    const taken = sign * this.drawn[machine]!;
    const scarce = this.scarce[this.waterOf[machine]!]!;
    const ample = this.ample[this.waterOf[machine]!]!;
    const until = Math.min(end, room.length);
    for (let t = scarce[Math.max(0, start)]!; t < until; t = scarce[t]!) {
      const stretch = Math.min(until, ample[t]!);
      for (; t < stretch; t++) room[t]! -= taken;
    }
  }

  /** The same of a duty, which closes the source that it is done at. */
  drawForDuty(occurrence: number, start: number, end: number, sign: number): void {
    const { source, water } = this.occurrences[occurrence]!;
    const room = source < 0 ? undefined : this.room[source]!;
    if (!room || room.length === 0) return;
    const taken = sign * (this.drawnByDuty[occurrence]! + (water >= 0 ? CLOSED : 0));
    for (let t = start; t < end; t++) room[t]! -= taken;
  }

  /** What a machine draws, in parts. */
  of(machine: number): number {
    return this.drawn[machine]!;
  }

  /**
   * `start` where the source can feed the machine in start..end-1; else the first start that may do; NEVER: none.
   * @param spared parts that it must be able to give others besides
   */
  from(machine: number, start: number, end: number, spared = 0): number {
    const room = this.room[this.waterOf[machine]!]!;
    if (room.length === 0) return start;
    if (this.hopeless[machine]) return NEVER;
    const drawn = this.drawn[machine]! + spared;
    const first = this.scarce[this.waterOf[machine]!]![Math.min(Math.max(0, start), room.length)]!;
    for (let t = Math.min(end, room.length) - 1; t >= first; t--) if (room[t]! < drawn) return t + 1;
    return start;
  }

  /** Whether a source can feed a duty in start..end-1; at a closed one only what is done there too and asks for water. */
  feedsDuty(occurrence: number, start: number, end: number): boolean {
    const { source, water } = this.occurrences[occurrence]!;
    const room = source < 0 ? undefined : this.room[source]!;
    const drawn = this.drawnByDuty[occurrence]!;
    if (!room || room.length === 0 || (drawn === 0 && water < 0)) return true;
    for (let t = start; t < end; t++) {
      let there = room[t]!;
      while (water >= 0 && there < -CLOSED / 2) there += CLOSED;
      if (there < drawn) return false;
    }
    return true;
  }
}
