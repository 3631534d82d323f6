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

/** Bags that must end in after+1..last, on circuits of some kinds. */
interface Load {
  readonly bags: number;
  readonly after: number;
  readonly last: number;
  readonly own: Batch['own'];
  /** Null: of all baths together. */
  readonly bath: number | null;
}

/**
 * Whole set-ups: what must be filled of a bath for a run of rounds is borne by circuits taken for that bath and by changes
 * to it, none older than a circuit lasts, and by what is loaded at the start; what must be filled of all baths by circuits.
 */
export function setUpRows(columns: Columns, batches: Batches): void {
  if (columns.model.rowLower.length > LARGE) return;
  const { problem, buckets } = columns;
  const byBath = [...problem.baths.keys()].map((bath) =>
    batches.ofRuns(bath).map(
      ({ own, sets, size, within, after }): Load => ({
        bath,
        own,
        bags: sets * size,
        after,
        last: buckets.cuts[within.at(-1)!]!,
      }),
    ),
  );
  for (const load of byBath.flat()) wholeSetUps(columns, load);
  for (const load of togetherOf(columns, byBath)) wholeSetUps(columns, load);
}

/** What must be filled of all baths between two minutes: for each the most that is known to fall between them. */
function togetherOf({ buckets }: Columns, byBath: readonly (readonly Load[])[]): Load[] {
  const all = byBath.flat();
  const own = buckets.kinds.map((kind, k) => ({ kind, k })).filter(({ kind }) => kind.usable > 0);
  return [...new Set(all.map(({ after }) => after))].flatMap((after) =>
    [...new Set(all.map(({ last }) => last))].flatMap((last): Load[] => {
      const most = byBath.map((loads) =>
        Math.max(
          0,
          ...loads.filter((load) => load.after >= after && load.last <= last).map(({ bags }) => bags),
        ),
      );
      // Of one bath alone it is said already.
      if (most.filter((bags) => bags > 0).length < 2) return [];
      return [{ bath: null, own, after, last, bags: most.reduce((a, b) => a + b, 0) }];
    }),
  );
}

function wholeSetUps(columns: Columns, load: Load): void {
  const { bearers, given } = bearersOf(columns, load);
  const wanted = load.bags - given;
  if (wanted <= 0) return;
  // None need bear more than is wanted; and whole numbers of them add up to whole numbers.
  const most = bearers.map(({ bags }) => Math.min(bags, wanted));
  for (const by of new Set(most))
    columns.model.offer(
      Math.ceil(wanted / by),
      bearers.map(({ column }, n) => [column, Math.ceil(most[n]! / by)] as const),
    );
}

/** What could bear a load; `given`: bags that circuits in place at the start could. */
function bearersOf(columns: Columns, { bath, own, after, last }: Load): { bearers: Bearer[]; given: number } {
  const { problem, buckets, kinds, spans } = columns;
  const { circuitMinutes, circuitLife, swapMinutes } = problem.rules;
  const { cuts, reach } = buckets;
  const bearers: Bearer[] = [];
  let given = 0;
  for (const { kind, k } of own) {
    const { usable, machines } = kind;
    const fillsIn = (from: number, to: number) =>
      Math.max(...machines.map((m) => mostFills(reach[m]!, from, to, swapMinutes)));
    for (const s of spans) {
      if (cuts[s - 1]! >= last) break;
      const lastEnd = Math.max(cuts[s]!, circuitMinutes) - circuitMinutes + circuitLife - swapMinutes;
      if (lastEnd <= after) continue;
      const most = fillsIn(Math.max(after, cuts[s - 1]!), Math.min(last, lastEnd));
      const bags = (of: typeof mostOnCircuit) =>
        usable * Math.min(most, mostIn(problem, buckets, { kind, t: s, of }));
      const { circuits, changes } = kinds[k]![s]!;
      const onCircuit = bags(mostOnCircuit);
      for (const b of bath === null ? kind.baths : [bath])
        bearers.push({ column: circuits[b]!, bags: onCircuit });
      if (bath !== null) bearers.push({ column: changes[bath]!, bags: bags(mostAfterChange) });
    }
    for (const index of machines) {
      const { loaded } = problem.machines[index]!;
      if (loaded === null || (bath !== null && loaded.bath !== bath)) continue;
      const { most, lastEnd } = onLoaded(problem, buckets, index);
      if (lastEnd > after) given += usable * Math.min(most, fillsIn(after, Math.min(last, lastEnd)));
    }
  }
  return { bearers: bearers.filter(({ bags }) => bags > 0), given };
}
