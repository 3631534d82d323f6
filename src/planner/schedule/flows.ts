import { places, scaled } from '../../exact/fraction.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { NEVER } from './work.ts';

/** What each water source can still feed, minute by minute, in whole parts of a mL/min. */
export class Flows {
  /** Of each machine. */
  private readonly drawn: readonly number[];
  /** Of a source that can always feed all its machines none is kept. */
  readonly room: readonly Int32Array[];
  private readonly waterOf: readonly number[];
  /** Machines that draw more than their source ever has. */
  private readonly hopeless: readonly boolean[];

  constructor({ machines, water, horizon }: Problem) {
    const scale =
      10 ** Math.max(0, ...machines.map((m) => places(m.flow)), ...water.map((w) => places(w.capacity)));
    this.drawn = machines.map((m) => scaled(m.flow, scale));
    this.waterOf = machines.map((m) => m.water);
    this.hopeless = machines.map((m, i) => this.drawn[i]! > scaled(water[m.water]!.capacity, scale));
    this.room = water.map(({ capacity }, w) => {
      const all = machines.reduce((sum, m, i) => (m.water === w ? sum + this.drawn[i]! : sum), 0);
      const there = scaled(capacity, scale);
      return new Int32Array(all > there ? horizon : 0).fill(there);
    });
  }

  /** A machine draws from its source in start..end-1 (sign 1), or does not after all (-1). */
  draw(machine: number, start: number, end: number, sign: number): void {
    const room = this.room[this.waterOf[machine]!]!;
    if (room.length === 0) return;
    const taken = sign * this.drawn[machine]!;
    for (let t = start; t < end; t++) room[t]! -= taken;
  }

  /** `start` where the source can feed the machine in start..end-1; else the first start that may do; NEVER: none. */
  from(machine: number, start: number, end: number): number {
    const room = this.room[this.waterOf[machine]!]!;
    if (room.length === 0) return start;
    const drawn = this.drawn[machine]!;
    if (this.hopeless[machine]) return NEVER;
    for (let t = Math.min(end, room.length) - 1; t >= start; t--) if (room[t]! < drawn) return t + 1;
    return start;
  }
}
