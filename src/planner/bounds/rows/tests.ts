import type { Columns } from '../columns.ts';
import { NONE, type Term } from '../model.ts';

/**
 * A test that ends at e serves e..e+testEvery, and no minute counts twice.
 * @returns columns of the minutes of each bucket under a test, [source][t]
 */
export function testRows({ problem, buckets, model, tests, spans, many }: Columns): number[][] {
  const { cuts } = buckets;
  return problem.water.map(({ testEvery, lastTest }, source) => {
    const under = cuts.map((_, t) => (t === 0 ? -1 : model.column(0, 0, buckets.runnable[source]![t]!)));
    const from: Term[][] = cuts.map(() => []);
    for (const s of spans) {
      const parts: Term[] = [[tests[source]![s]!, -(testEvery + 1)]];
      for (let t = s; t < cuts.length; t++) {
        const served = buckets.lastTest[source]![s]! + testEvery + 1;
        const most = t === s ? many : Math.min(cuts[t]!, served) - cuts[t - 1]!;
        if (most <= 0) break;
        const part = model.column(0, 0, most);
        from[t]!.push([part, 1]);
        parts.push([part, 1]);
      }
      model.row(-NONE, 0, parts);
    }
    for (const t of spans) {
      const given = lastTest === null ? 0 : Math.min(cuts[t]!, lastTest + testEvery + 1) - cuts[t - 1]!;
      model.row(-NONE, Math.max(0, given), [[under[t]!, 1], ...from[t]!.map(([c]): Term => [c, -1])]);
    }
    return under;
  });
}
