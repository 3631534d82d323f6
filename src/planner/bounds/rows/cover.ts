import { canServe } from '../buckets.ts';
import type { Columns } from '../columns.ts';
import { NONE, type Term } from '../model.ts';
import { lotServes, type Sink } from '../sinks.ts';

/** Lots and fills serve rounds and reserve, each bag once, ready in time and not expired. */
export function coverRows(columns: Columns): void {
  const { problem, buckets, model, kinds, spans } = columns;
  const { sinks } = buckets;
  const taken: Term[][] = sinks.map(() => []);
  const give = (bath: number, most: number, serves: (sink: Sink) => boolean): Term[] =>
    sinks.flatMap((sink, index): Term[] => {
      if (sink.bath !== bath || !serves(sink)) return [];
      const part = model.column(0, 0, Math.min(most, sink.bags));
      taken[index]!.push([part, 1]);
      return [[part, 1]];
    });
  for (const lot of problem.lots) {
    const { bath, bags, bagParts } = lot;
    const size = (bags * bagParts) / problem.bagParts;
    model.row(
      -NONE,
      size,
      give(bath, size, (sink) => lotServes(lot, sink)),
    );
  }
  problem.baths.forEach((_, bath) => {
    for (const t of spans) {
      const parts = give(bath, NONE, (sink) => canServe(buckets, t, sink));
      const made = buckets.kinds.flatMap(({ usable, baths }, k): Term[] =>
        baths.includes(bath) ? [[kinds[k]![t]!.fills[bath]!, -usable]] : [],
      );
      model.row(-NONE, 0, [...parts, ...made]);
    }
  });
  const short = sinks.map(({ bags, round }, index) => {
    const missing = model.column(!columns.allowed && round !== null ? 1 : 0, 0, bags);
    model.row(bags, NONE, [...taken[index]!, [missing, 1]]);
    return missing;
  });
  allowedRows(columns, short);
}

/** No more is short than allowed. @param short columns of the bags that each sink does not get */
function allowedRows(columns: Columns, short: readonly number[]): void {
  const { problem, buckets, model, allowed } = columns;
  if (!allowed) return;
  const { sinks } = buckets;
  const terms = (reserve: boolean, each: (sink: Sink) => number) =>
    short.flatMap((column, index): Term[] =>
      (sinks[index]!.round === null) === reserve ? [[column, each(sinks[index]!)]] : [],
    );
  model.row(
    -NONE,
    allowed.unmetBags + 1e-6,
    terms(false, () => 1),
  );
  const longest = problem.horizon / 60;
  if (allowed.unmetBags > 0 && allowed.unmetBagHours < NONE && longest > 0)
    model.row(
      -NONE,
      allowed.unmetBagHours / longest + 1e-6,
      terms(false, ({ by }) => (problem.horizon - by) / 60 / longest),
    );
  const stock = allowed.reserveBags < NONE ? stockRows(columns, short) : [];
  model.row(-NONE, allowed.reserveBags + 1e-6, [...terms(true, () => 1), ...stock]);
}

/**
 * What is in stock after a round had been ready by then, and was not given to the rounds so far; and it is good for what
 * the next one covers, so it was not made too early.
 * @returns bags that stock is short of after some round, one term each
 */
function stockRows({ problem, buckets, model, kinds, spans }: Columns, short: readonly number[]): Term[] {
  const { sinks, stocks, cuts } = buckets;
  return stocks.map((stock): Term => {
    const { bath, round, bags, by, until } = stock;
    const missing = model.column(0, 0, bags);
    const made = (endAfter: number) =>
      spans.flatMap((t) =>
        cuts[t - 1]! < stock.lastEnd && cuts[t]! > endAfter
          ? buckets.kinds.flatMap(({ usable, baths }, k): Term[] =>
              baths.includes(bath) ? [[kinds[k]![t]!.fills[bath]!, usable]] : [],
            )
          : [],
      );
    const given = (good: number) =>
      problem.lots.reduce(
        (sum, lot) =>
          lot.bath === bath && lot.ready <= by && lot.expires >= good
            ? sum + (lot.bags * lot.bagParts) / problem.bagParts
            : sum,
        0,
      );
    model.row(bags - given(until), NONE, [...made(stock.endAfter), [missing, 1]]);
    const before = sinks.flatMap((sink, index) =>
      sink.bath === bath && sink.round !== null && sink.round <= round! ? [index] : [],
    );
    const needed = before.reduce((sum, index) => sum + sinks[index]!.bags, 0);
    model.row(bags + needed - given(-NONE), NONE, [
      ...made(-NONE),
      ...before.map((index): Term => [short[index]!, 1]),
      [missing, 1],
    ]);
    return [missing, 1];
  });
}
