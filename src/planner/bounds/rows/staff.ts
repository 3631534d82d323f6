import type { Columns } from '../columns.ts';
import { handsOn, handsOnTest } from '../floor.ts';
import { NONE, type Term } from '../model.ts';

/**
 * Hands: a swap starts in the bucket in which its fill ends and may run on; all else, also somebody at the start of a fill,
 * is counted when it ends.
 */
export function staffRows(columns: Columns): void {
  const { problem, buckets, model, kinds, tests, spans } = columns;
  const { circuitMinutes, bathMinutes, swapMinutes, fillStartMinutes } = problem.rules;
  const longest = Math.max(
    circuitMinutes,
    bathMinutes,
    ...problem.water.map(({ testMinutes }) => testMinutes),
  );
  const starts = fillStartMinutes * problem.machines.length;
  const carry = buckets.cuts.map((cut, t) => {
    const after = problem.staff[cut] ?? 0;
    const both = Math.min(after, problem.staff[cut - 1] ?? 0);
    return t === 0 ? -1 : model.column(0, -after * swapMinutes, both * (longest - 1) + starts);
  });
  const each = handsOn(problem);
  for (const t of spans)
    model.row(-NONE, buckets.staff[t]!, [
      ...kinds.flatMap((_, k) => columns.work(k, t, each)),
      ...problem.water.map((_, source): Term => [tests[source]![t]!, handsOnTest(problem, source)]),
      ...columns.carried(carry, t),
    ]);
}
