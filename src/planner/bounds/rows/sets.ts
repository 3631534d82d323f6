import type { Batch, Batches } from '../batches.ts';
import type { Columns } from '../columns.ts';
import { NONE, type Term } from '../model.ts';

/** Rows from which on a model is slow enough without those of few rounds. */
const LARGE = 2000;

/** So many whole sets of a bath at least, also in the buckets that can serve some rounds in a row. */
export function setRows(columns: Columns, batches: Batches): void {
  const { problem, model } = columns;
  const large = model.rowLower.length > LARGE;
  for (const bath of problem.baths.keys()) {
    if (large) {
      for (const batch of batches.ofRuns(bath, ({ from, to, count }) => from === 0 && to === count - 1))
        model.row(batch.sets, NONE, setsOf(columns, batch));
      continue;
    }
    // All up to each one; and of those from the first round on, each and each two in a row: what serves others is looser.
    const first = ({ from, to }: { from: number; to: number }) => from === 0 || to < from + 2;
    for (const batch of batches.ofRuns(bath, first)) model.row(batch.sets, NONE, setsOf(columns, batch));
    for (const batch of batches.ofRuns(bath, (run) => !first(run)))
      model.offer(batch.sets, setsOf(columns, batch));
  }
}

const setsOf = ({ kinds }: Columns, { bath, own, size, within }: Batch): Term[] =>
  own.flatMap(({ kind: { usable }, k }) =>
    within.map((t): Term => [kinds[k]![t]!.fills[bath]!, usable / size]),
  );
