import type { Columns } from '../columns.ts';
import { mostIn, mostOfKind, onLoaded } from '../lines.ts';
import { NONE, type Term } from '../model.ts';
import { mostAfterChange, mostOnCircuit } from '../reach.ts';

/** A machine fills only what is loaded, and one bath is loaded at a time. */
export function bathRows({ problem, buckets, model, kinds, spans }: Columns, k: number): void {
  const kind = buckets.kinds[k]!;
  for (const t of spans) {
    const own = kinds[k]![t]!;
    const before = kinds[k]![t - 1]!;
    const most = Math.max(
      ...kind.machines.map((index) =>
        mostOfKind(problem, buckets, { ...kind, machines: [index] }, [t - 1, t]),
      ),
    );
    for (const bath of kind.baths) {
      const ways: Term[] = [
        [before.loaded[bath]!, 1],
        [own.circuits[bath]!, 1],
        [own.changes[bath]!, 1],
      ];
      // Each stretch of one bath on one machine within the bucket began at its cut or with a set-up in it.
      model.row(0, NONE, [...ways.map(([column]): Term => [column, most]), [own.fills[bath]!, -1]]);
      model.row(0, NONE, [...ways, [own.loaded[bath]!, -1]]);
    }
    model.row(
      -NONE,
      kind.machines.length,
      kind.baths.map((bath): Term => [own.loaded[bath]!, 1]),
    );
  }
}

/**
 * Fills of one bath in a row on one circuit are no more than it bears, and each such row begins with the circuit, with
 * a change to the bath or at the start: machines that have a bath loaded in part for ever do not make it for nothing.
 */
export function campaignRows({ problem, buckets, model, kinds, spans }: Columns, k: number): void {
  const kind = buckets.kinds[k]!;
  const most = spans.map((t) => ({
    t,
    onCircuit: mostIn(problem, buckets, { kind, t, of: mostOnCircuit }),
    afterChange: mostIn(problem, buckets, { kind, t, of: mostAfterChange }),
  }));
  for (const bath of kind.baths) {
    const given = kind.machines
      .filter((index) => problem.machines[index]!.loaded?.bath === bath)
      .reduce((sum, index) => sum + onLoaded(problem, buckets, index).most, 0);
    model.row(
      -given,
      NONE,
      most.flatMap(({ t, onCircuit, afterChange }): Term[] => {
        const { fills, circuits, changes } = kinds[k]![t]!;
        return [
          [circuits[bath]!, onCircuit],
          [changes[bath]!, afterChange],
          [fills[bath]!, -1],
        ];
      }),
    );
  }
}
