import type { Columns } from '../columns.ts';
import { mostIn, mostOfKind, onLoaded } from '../lines.ts';
import { NONE, type Term } from '../model.ts';
import { mostAfterChange, mostOnCircuit } from '../reach.ts';

/**
 * Fills of one bath in a row on one circuit follow the circuit taken for it, a change to it, or what is loaded at the
 * start, and end while that circuit lasts: a bath that is still loaded on a circuit whose life is over bears nothing.
 */
export function stintRows(columns: Columns, k: number): void {
  const { problem, buckets, model, kinds, spans } = columns;
  const { circuitMinutes, circuitLife, swapMinutes } = problem.rules;
  const { cuts, reach } = buckets;
  const kind = buckets.kinds[k]!;
  const inBucket = cuts.map((_, t) =>
    t === 0
      ? 0
      : Math.max(
          ...kind.machines.map((m) => mostOfKind(problem, buckets, { ...kind, machines: [m] }, [t - 1, t])),
        ),
  );
  const borne = spans.map((s) => ({
    s,
    onCircuit: mostIn(problem, buckets, { kind, t: s, of: mostOnCircuit }),
    afterChange: mostIn(problem, buckets, { kind, t: s, of: mostAfterChange }),
    // One done at the cut lasts longest, unless a duty at every machine of the kind ends it.
    lastEnd:
      Math.min(
        Math.max(cuts[s]!, circuitMinutes) - circuitMinutes + circuitLife,
        Math.max(...kind.machines.map((m) => reach[m]!.endsBy[cuts[s]!]!)),
      ) - swapMinutes,
  }));
  for (const bath of kind.baths) {
    const on: Term[][] = cuts.map(() => []);
    for (const { s, onCircuit, afterChange, lastEnd } of borne) {
      const { circuits, changes } = kinds[k]![s]!;
      const begun = (most: number): Term[] => [
        [circuits[bath]!, Math.min(most, onCircuit)],
        [changes[bath]!, Math.min(most, afterChange)],
      ];
      const parts: Term[] = [];
      for (let t = s; t < cuts.length && cuts[t - 1]! < lastEnd; t++) {
        if (inBucket[t] === 0) continue;
        const part = model.column(0, 0, inBucket[t]! * kind.machines.length);
        on[t]!.push([part, 1]);
        parts.push([part, -1]);
        model.offer(0, [...begun(inBucket[t]!), [part, -1]]);
      }
      model.row(0, NONE, [...begun(NONE), ...parts]);
    }
    for (const index of kind.machines) {
      if (problem.machines[index]!.loaded?.bath !== bath) continue;
      const { most, lastEnd } = onLoaded(problem, buckets, index);
      const parts: Term[] = [];
      for (let t = 1; most > 0 && t < cuts.length && cuts[t - 1]! < lastEnd; t++) {
        const part = model.column(0, 0, most);
        on[t]!.push([part, 1]);
        parts.push([part, 1]);
      }
      model.row(-NONE, most, parts);
    }
    for (const t of spans) model.row(0, 0, [...on[t]!, [kinds[k]![t]!.fills[bath]!, -1]]);
  }
}
