import type { Batch, Batches } from '../batches.ts';
import type { Columns } from '../columns.ts';
import { mostIn, onLoaded } from '../lines.ts';
import { mostAfterChange, mostFills, mostOnCircuit } from '../reach.ts';

/** Rows from which on those of set-ups take many times as long and tell next to nothing: there a machine has each bath. */
const LARGE = 5000;

/** A column, and the bags that each one of it could bear. */
interface Bearer {
  readonly column: number;
  readonly bags: number;
}

/**
 * Whole set-ups: what must be filled of a bath for a run of rounds is borne by circuits taken for that bath and by changes
 * to it, none older than a circuit lasts, and by what is loaded at the start.
 */
export function setUpRows(columns: Columns, batches: Batches): void {
  if (columns.model.rowLower.length > LARGE) return;
  for (const bath of columns.problem.baths.keys())
    for (const batch of batches.ofRuns(bath)) wholeSetUps(columns, batch);
}

function wholeSetUps(columns: Columns, batch: Batch): void {
  const { bearers, given } = bearersOf(columns, batch);
  const wanted = batch.sets * batch.size - given;
  if (wanted <= 0) return;
  // None need bear more than is wanted; and whole numbers of them add up to whole numbers.
  const most = bearers.map(({ bags }) => Math.min(bags, wanted));
  for (const by of new Set(most))
    columns.model.offer(
      Math.ceil(wanted / by),
      bearers.map(({ column }, n) => [column, Math.ceil(most[n]! / by)] as const),
    );
}

/** What could bear fills of a batch; `given`: bags that circuits in place at the start could. */
function bearersOf(
  columns: Columns,
  { bath, own, within, after }: Batch,
): { bearers: Bearer[]; given: number } {
  const { problem, buckets, kinds, spans } = columns;
  const { rules } = problem;
  const { cuts, reach } = buckets;
  const last = cuts[within.at(-1)!]!;
  const bearers: Bearer[] = [];
  let given = 0;
  for (const { kind, k } of own) {
    const { usable, machines } = kind;
    const fillsAfter = (minute: number) =>
      Math.max(...machines.map((m) => mostFills(reach[m]!, minute, last, rules.swapMinutes)));
    const inAll = fillsAfter(after);
    for (const s of spans) {
      if (cuts[s - 1]! >= last) break;
      if (Math.max(cuts[s]!, rules.circuitMinutes) - rules.circuitMinutes + rules.circuitLife <= after)
        continue;
      const most = cuts[s - 1]! > after ? fillsAfter(cuts[s - 1]!) : inAll;
      const bags = (of: typeof mostOnCircuit) =>
        usable * Math.min(most, mostIn(problem, buckets, { kind, t: s, of }));
      const setUps = kinds[k]![s]!;
      bearers.push({ column: setUps.circuits[bath]!, bags: bags(mostOnCircuit) });
      bearers.push({ column: setUps.changes[bath]!, bags: bags(mostAfterChange) });
    }
    for (const index of machines) {
      if (problem.machines[index]!.loaded?.bath !== bath) continue;
      const loaded = onLoaded(problem, buckets, index);
      if (loaded.lastEnd > after) given += usable * Math.min(loaded.most, inAll);
    }
  }
  return { bearers: bearers.filter(({ bags }) => bags > 0), given };
}
