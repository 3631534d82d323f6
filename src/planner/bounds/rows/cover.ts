import { canServe } from '../buckets.ts';
import type { Columns } from '../columns.ts';
import { NONE, type Term } from '../model.ts';
import { lotServes, type Sink } from '../sinks.ts';

/** Lots and fills serve rounds and reserve, each bag once, ready in time and not expired. */
export function coverRows({ problem, buckets, model, kinds, spans, allowed }: Columns): void {
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
      const made = buckets.kinds.flatMap(({ positions, baths }, k): Term[] =>
        baths.includes(bath) ? [[kinds[k]![t]!.fills[bath]!, -positions]] : [],
      );
      model.row(-NONE, 0, [...parts, ...made]);
    }
  });
  const missing = sinks.map(({ bags, round }, index) => {
    const short = model.column(!allowed && round !== null ? 1 : 0, 0, bags);
    model.row(bags, NONE, [...taken[index]!, [short, 1]]);
    return short;
  });
  if (!allowed) return;
  const sum = (reserve: boolean) =>
    missing
      .filter((_, index) => (sinks[index]!.round === null) === reserve)
      .map((column): Term => [column, 1]);
  model.row(-NONE, allowed.unmetBags + 1e-6, sum(false));
  model.row(-NONE, allowed.reserveBags + 1e-6, sum(true));
}
