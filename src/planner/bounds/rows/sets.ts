import type { Batches } from '../batches.ts';
import type { Columns } from '../columns.ts';
import { NONE, type Term } from '../model.ts';
import type { Sink } from '../sinks.ts';

/** Rows from which on a model is slow enough without those of few rounds. */
const LARGE = 2000;

/** So many whole sets of a bath at least, also in the buckets that can serve one round or a few. */
export function setRows({ problem, model, kinds }: Columns, batches: Batches): void {
  const large = model.rowLower.length > LARGE;
  for (const bath of problem.baths.keys()) {
    const sinks = batches.sinks[bath]!;
    for (const wanted of large ? [sinks] : groupsOf(sinks)) {
      const batch = batches.of(bath, wanted);
      if (!batch) continue;
      model.row(
        batch.sets,
        NONE,
        batch.own.flatMap(({ kind: { usable }, k }) =>
          batch.within.map((t): Term => [kinds[k]![t]!.fills[bath]!, usable / batch.size]),
        ),
      );
    }
  }
}

/** All up to each one; and of those from the first round on, each and each two in a row: what serves others is looser. */
const groupsOf = (sinks: readonly Sink[]): Sink[][] => [
  ...sinks.map((_, n) => sinks.slice(0, n + 1)),
  ...sinks
    .slice(1)
    .flatMap((sink, n, rest) => (n + 1 < rest.length ? [[sink], rest.slice(n, n + 2)] : [[sink]])),
];
