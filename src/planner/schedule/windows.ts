import type { Problem } from '../../scenario/problem/types.ts';
import { NEVER } from './work.ts';

/** When each machine may be used. */
export class Windows {
  /** First minutes of each machine's windows. */
  readonly opens: readonly (readonly number[])[];
  private readonly closes: readonly (readonly number[])[];

  constructor({ machines }: Problem) {
    this.opens = machines.map((m) => m.windows.map((w) => w.from));
    this.closes = machines.map((m) => m.windows.map((w) => w.to));
  }

  /** First minute from `s` on that begins `length` minutes inside one window of the machine; NEVER when there is none. */
  from(machine: number, s: number, length: number): number {
    const from = this.opens[machine]!;
    const to = this.closes[machine]!;
    for (let i = 0; i < from.length; i++) {
      const start = Math.max(s, from[i]!);
      if (start + length <= to[i]!) return start;
    }
    return NEVER;
  }

  /** End of the window that a minute lies in; the minute itself where it lies in none. */
  end(machine: number, minute: number): number {
    const from = this.opens[machine]!;
    const to = this.closes[machine]!;
    for (let i = 0; i < from.length; i++) if (minute >= from[i]! && minute < to[i]!) return to[i]!;
    return minute;
  }
}
