import type { Columns } from '../columns.ts';
import { NONE, type Term } from '../model.ts';

/** Hands: a swap starts in the bucket in which its fill ends and may run on; all else is counted when it ends. */
export function staffRows(columns: Columns): void {
  const { problem, buckets, model, kinds, tests, spans } = columns;
  const { circuitMinutes, bathMinutes, swapMinutes } = problem.rules;
  const longest = Math.max(
    circuitMinutes,
    bathMinutes,
    ...problem.water.map(({ testMinutes }) => testMinutes),
  );
  const carry = buckets.cuts.map((cut, t) => {
    const after = problem.staff[cut] ?? 0;
    const both = Math.min(after, problem.staff[cut - 1] ?? 0);
    return t === 0 ? -1 : model.column(0, -after * swapMinutes, both * (longest - 1));
  });
  const each = { fill: swapMinutes, circuit: circuitMinutes, change: bathMinutes };
  for (const t of spans)
    model.row(-NONE, buckets.staff[t]!, [
      ...kinds.flatMap((_, k) => columns.work(k, t, each)),
      ...problem.water.map(({ testMinutes }, source): Term => [tests[source]![t]!, testMinutes]),
      ...columns.carried(carry, t),
    ]);
}
