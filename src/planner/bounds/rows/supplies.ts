import type { Supply } from '../../../scenario/problem/types.ts';
import { reachesOf } from '../buckets.ts';
import type { Columns } from '../columns.ts';
import type { Kind } from '../kinds.ts';
import { NONE, type Term } from '../model.ts';
import { latestOf } from '../reach.ts';

type Work = 'fills' | 'circuits' | 'changes';
const WORK = ['fills', 'circuits', 'changes'] as const;

/** The latest minute at which what of a kind had ended by each cut had begun, [kind][work][t]. */
type Begun = readonly Readonly<Record<Work, readonly number[]>>[];

/** What of a kind had ended by a cut had begun, at the latest, when the last of it could: before a delivery, or after. */
export function supplyRows(columns: Columns): void {
  const { problem, buckets } = columns;
  const { circuitMinutes, bathMinutes } = problem.rules;
  const latest = (kind: Kind, ends: 'someEnd' | 'nextCircuit' | 'nextChange', lasts: number) =>
    buckets.cuts.map((cut) =>
      Math.max(...reachesOf(buckets, kind).map((own) => latestOf(own[ends], cut) - lasts)),
    );
  const begun = buckets.kinds.map((kind) => ({
    fills: latest(kind, 'someEnd', kind.shortest),
    circuits: latest(kind, 'nextCircuit', circuitMinutes),
    changes: latest(kind, 'nextChange', bathMinutes),
  }));
  for (const supply of problem.supplies) {
    const moments = [...new Set(supply.deliveries.map(({ at }) => at)), NONE];
    for (const moment of moments) usedBefore(columns, begun, supply, moment);
  }
}

/** What had begun before a moment used no more than was there by then. */
function usedBefore(columns: Columns, begun: Begun, supply: Supply, moment: number): void {
  const { problem, buckets, model, kinds, spans } = columns;
  const { circuitMinutes, bathMinutes } = problem.rules;
  const { onHand, deliveries, perCircuit, perFill, perMinute, bath } = supply;
  const there = deliveries.reduce((sum, { at, quantity }) => sum + (at < moment ? quantity : 0), onHand);
  const terms = buckets.kinds.flatMap(({ machines, shortest, baths }, k): Term[] => {
    const flow = perMinute[machines[0]!]!;
    const uses = {
      fills: perFill + flow * shortest,
      circuits: perCircuit + flow * circuitMinutes,
      changes: flow * bathMinutes,
    };
    return spans.flatMap((t) =>
      WORK.flatMap((what) =>
        uses[what] > 0 && begun[k]![what][t]! < moment
          ? baths
              .filter((b) => bath === null || b === bath)
              .map((b): Term => [kinds[k]![t]![what][b]!, uses[what]])
          : [],
      ),
    );
  });
  const unit = terms.reduce((most, [, amount]) => Math.max(most, amount), 0);
  if (unit === 0) return;
  model.row(
    -NONE,
    there / unit,
    terms.map(([column, amount]): Term => [column, amount / unit]),
  );
}
