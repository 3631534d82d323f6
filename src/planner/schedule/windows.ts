import type { Problem } from '../../scenario/problem/types.ts';
import type { Duties } from './duties.ts';
import { NEVER } from './work.ts';

/** When each machine may be used: in its windows, and not during a duty there. */
export class Windows {
  /** First minutes of each machine's windows. */
  private readonly opens: readonly (readonly number[])[];
  private readonly closes: readonly (readonly number[])[];

  private readonly duties: Duties;

  constructor({ machines }: Problem, duties: Duties) {
    this.duties = duties;
    this.opens = machines.map((m) => m.windows.map((w) => w.from));
    this.closes = machines.map((m) => m.windows.map((w) => w.to));
  }

  /** First minute from `s` on that begins `length` minutes inside one window of the machine; NEVER when there is none. */
  from(machine: number, s: number, length: number): number {
    const dutied = this.duties.atMachine[machine]!.length > 0;
    for (let start = s; ; ) {
      const open = this.openFrom(machine, start, length);
      if (!dutied || open >= NEVER) return open;
      start = this.duties.machineFrom(machine, open, length);
      if (start === open) return open;
    }
  }

  private openFrom(machine: number, s: number, length: number): number {
    const from = this.opens[machine]!;
    const to = this.closes[machine]!;
    for (let i = 0; i < from.length; i++) {
      const start = Math.max(s, from[i]!);
      if (start + length <= to[i]!) return start;
    }
    return NEVER;
  }

  /** First minute after another at which a window of the machine begins; NEVER: none does. */
  opensAfter(machine: number, after: number): number {
    let next = NEVER;
    for (const from of this.opens[machine]!) if (from > after && from < next) next = from;
    return next;
  }

  /** How long a machine may go on from a minute: to the window's end or the next duty; the minute itself where it lies in none. */
  end(machine: number, minute: number): number {
    const from = this.opens[machine]!;
    const to = this.closes[machine]!;
    for (let i = 0; i < from.length; i++)
      if (minute >= from[i]! && minute < to[i]!) return Math.min(to[i]!, this.duties.nextAt(machine, minute));
    return minute;
  }
}
