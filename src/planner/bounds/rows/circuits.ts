import type { Columns } from '../columns.ts';
import { mostIn, mostOnLine, onLoaded } from '../lines.ts';
import { NONE, type Term } from '../model.ts';
import { mostOnCircuit } from '../reach.ts';

/** Every fill is on a circuit; one circuit bears only so many, within its life. */
export function circuitRows(columns: Columns, k: number): void {
  const { problem, buckets, model, kinds, spans, many } = columns;
  const { rules } = problem;
  const { cuts } = buckets;
  const kind = buckets.kinds[k]!;
  const on: Term[][] = cuts.map(() => []);
  /** Columns of the fills that one circuit bears, in each bucket from `first` on that begins before its last one can end. */
  const partsFrom = (first: number, lastEnd: number, most: number): number[] => {
    const parts: number[] = [];
    for (let t = first; t < cuts.length && cuts[t - 1]! < lastEnd; t++) {
      const part = model.column(0, 0, most);
      on[t]!.push([part, 1]);
      parts.push(part);
    }
    return parts;
  };
  for (const s of spans) {
    const most = mostIn(problem, buckets, { kind, t: s, of: mostOnCircuit });
    // The one done last lasts longest, unless a duty at every machine of the kind ends it.
    const ended = Math.max(...kind.machines.map((m) => buckets.reach[m]!.endsBy[cuts[s]!]!));
    const lastEnd = Math.min(cuts[s]! - rules.circuitMinutes + rules.circuitLife, ended) - rules.swapMinutes;
    const made = kind.baths.map((bath): Term => [kinds[k]![s]!.circuits[bath]!, most]);
    const parts = partsFrom(s, lastEnd, many);
    model.row(0, NONE, [...made, ...parts.map((part): Term => [part, -1])]);
  }
  for (const index of kind.machines) {
    const { most, lastEnd } = onLoaded(problem, buckets, index);
    if (most === 0) continue;
    model.row(
      -NONE,
      most,
      partsFrom(1, lastEnd, most).map((part): Term => [part, 1]),
    );
  }
  for (const t of spans)
    model.row(0, 0, [...on[t]!, ...kind.baths.map((bath): Term => [kinds[k]![t]!.fills[bath]!, -1])]);
}

/**
 * A machine alone makes so many fills on the circuit it has, so many with one new circuit, with two ... (`mostOnLine`).
 * Whatever one circuit is said to be worth, no number of them leaves it more fills beyond that than the best number does,
 * and so for all machines of the kind together: a circuit for the last hour of a week is not worth what others are.
 * @param far buckets of the longest spells, but for those from the start
 */
export function lineRows(columns: Columns, k: number, far: number): void {
  const { problem, buckets, model, spans } = columns;
  const alike = new Map<string, number[]>();
  for (const index of buckets.kinds[k]!.machines) {
    const { loaded, windows } = problem.machines[index]!;
    // Machines that a duty takes the circuit from at different times differ in what they could do.
    const own = buckets.reach.indexOf(buckets.reach[index]!);
    const key = JSON.stringify([loaded?.since, windows, own]);
    alike.set(key, [...(alike.get(key) ?? []), index]);
  }
  for (const from of [0, ...spans]) {
    const lines = [...alike.values()].map((machines) => ({
      count: machines.length,
      most: mostOnLine(problem, buckets, machines[0]!, from),
    }));
    for (const to of spans.filter((t) => t > from && (from === 0 || t <= from + far))) {
      const each = lines.map(({ count, most }) => ({ count, fills: most(to) }));
      const worths = each.flatMap(({ fills }) => fills.slice(1).map((n, c) => n - fills[c]!));
      for (const worth of new Set([0, ...worths]))
        model.row(
          -NONE,
          each.reduce((sum, own) => sum + own.count * Math.max(...own.fills.map((n, c) => n - worth * c)), 0),
          spans.slice(from, to).flatMap((t) => columns.work(k, t, { fill: 1, circuit: -worth, change: 0 })),
        );
    }
  }
}
