import type { Band } from './bands.ts';
import { bandOf, meanError } from './bands.ts';
import type { Chunk } from './job.ts';

/** One day of the forecast over all runs. */
export interface DayBands {
  /** 0 is the first 24 h. */
  readonly day: number;
  /** Patients under therapy at the day's end. */
  readonly census: Band;
  /** Bags hung in the day, by bath in the scenario's order. */
  readonly bags: readonly Band[];
  /** Standard error of the census' mean: how far more runs may still move it. */
  readonly censusError: number;
}

/** All runs in one, in order of their numbers. */
export function joined(chunks: readonly Chunk[]): Chunk {
  const sorted = [...chunks].sort((a, b) => a.first - b.first);
  const together = <T extends Float64Array | Int32Array | Int16Array | Int8Array>(
    pick: (chunk: Chunk) => T,
    make: (length: number) => T,
  ): T => {
    const all = make(sorted.reduce((sum, chunk) => sum + pick(chunk).length, 0));
    let at = 0;
    for (const chunk of sorted) {
      all.set(pick(chunk), at);
      at += pick(chunk).length;
    }
    return all;
  };
  return {
    first: sorted[0]?.first ?? 0,
    count: sorted.reduce((sum, { count }) => sum + count, 0),
    census: together(
      (c) => c.census,
      (n) => new Int32Array(n),
    ),
    bags: together(
      (c) => c.bags,
      (n) => new Int32Array(n),
    ),
    short: together(
      (c) => c.short,
      (n) => new Float64Array(n),
    ),
    cause: together(
      (c) => c.cause,
      (n) => new Int8Array(n),
    ),
    round: together(
      (c) => c.round,
      (n) => new Int16Array(n),
    ),
    supplyAtStart: together(
      (c) => c.supplyAtStart,
      (n) => new Float64Array(n),
    ),
    supplyRound: together(
      (c) => c.supplyRound,
      (n) => new Int16Array(n),
    ),
  };
}

/** One column of a table that is laid out row by row. */
export function column(table: ArrayLike<number>, width: number, at: number, count: number): Float64Array {
  const into = new Float64Array(count);
  for (let row = 0; row < count; row++) into[row] = table[row * width + at]!;
  return into;
}

/** Census and bags by day as bands. */
export function dayBands(all: Chunk, days: number, baths: number): DayBands[] {
  return Array.from({ length: days }, (_, day) => {
    const census = column(all.census, days, day, all.count);
    const censusError = meanError(census);
    return {
      day,
      census: bandOf(census),
      censusError,
      bags: Array.from({ length: baths }, (_, bath) =>
        bandOf(column(all.bags, baths * days, bath * days + day, all.count)),
      ),
    };
  });
}
