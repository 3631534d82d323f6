import type { Columns } from '../columns.ts';
import { mostOfKind } from '../lines.ts';
import { NONE, type Term } from '../model.ts';
import { underWay } from '../reach.ts';

/** A fill or set-up that ends after a cut can have so many minutes before it, at most. */
const longestBefore = ({ problem: { rules } }: Columns, shortest: number): number =>
  Math.max(shortest, rules.circuitMinutes, rules.bathMinutes) - 1;

/**
 * A machine does one thing at a time, within its windows, and while it runs its water is under a test.
 * @param covered columns of the minutes of each bucket under a test, [source][t]
 */
export function machineRows(columns: Columns, k: number, covered: readonly (readonly number[])[]): void {
  const { problem, buckets, model, spans, tests } = columns;
  const { cuts } = buckets;
  const { swapMinutes } = problem.rules;
  const kind = buckets.kinds[k]!;
  const count = kind.machines.length;
  const ahead = longestBefore(columns, kind.shortest);
  const carry = cuts.map((cut, t) => {
    if (t === 0) return -1;
    const all = kind.machines.map((m) => underWay(buckets.reach[m]!, cut, Math.max(ahead, swapMinutes)));
    const sum = (minutes: number[]) => minutes.reduce((a, b) => a + b, 0);
    const after = sum(all.map((own) => Math.min(swapMinutes, own.after)));
    return model.column(0, -after, sum(all.map(({ before }) => Math.min(ahead, before))));
  });
  const all: Term[] = [];
  for (const t of spans) {
    const usable = kind.machines.reduce((sum, index) => {
      const { usable: upTo } = buckets.reach[index]!;
      return sum + upTo[cuts[t]!]! - upTo[cuts[t - 1]!]!;
    }, 0);
    const busy = [...columns.minutesOfWork(k, t), ...columns.carried(carry, t)];
    model.row(-NONE, usable, busy);
    // Outside the minutes under a test a machine can at most end its swap, once after each unbroken stretch of them.
    const stretches: Term = [tests[kind.water]![t]!, -count * swapMinutes];
    model.row(-NONE, count * swapMinutes, [...busy, [covered[kind.water]![t]!, -count], stretches]);
    all.push(...columns.minutesOfWork(k, t), [covered[kind.water]![t]!, -count], stretches);
  }
  if (spans.length === 0) return;
  const given = problem.water[kind.water]!.lastTest === null ? 0 : count * swapMinutes;
  model.row(-NONE, given, all);
  testStretchRow(columns, k);
  wholeFillRows(columns, k);
}

/** Whole fills of one machine alone: from the start, and over neighbouring buckets. */
function wholeFillRows(columns: Columns, k: number): void {
  const { problem, buckets, model, spans } = columns;
  const { cuts } = buckets;
  const { swapMinutes } = problem.rules;
  const kind = buckets.kinds[k]!;
  const count = kind.machines.length;
  const ahead = longestBefore(columns, kind.shortest);
  for (const from of [0, ...spans.slice(0, -1)])
    for (const to of spans.filter((t) => t > from && (from === 0 || t <= from + 3))) {
      const most = mostOfKind(problem, buckets, kind, [from, to]);
      const loose =
        ((cuts[to]! - cuts[from]!) * count + count * (swapMinutes + (from > 0 ? ahead : 0))) / kind.cycle;
      if (most > loose - 0.1) continue;
      model.row(
        -NONE,
        most,
        spans.slice(from, to).flatMap((t) => columns.fills(k, t)),
      );
    }
}

/** Whole fills that fit into an unbroken stretch under n tests, and into the longest there is, at the best n. */
function testStretchRow(columns: Columns, k: number): void {
  const { problem, buckets, model, spans, tests } = columns;
  const kind = buckets.kinds[k]!;
  const { testEvery, lastTest } = problem.water[kind.water]!;
  let rate = 0;
  for (let n = 1; n <= problem.horizon / (testEvery + 1) + 2; n++) {
    const stretch = Math.min(n * (testEvery + 1), buckets.longestRun[kind.water]!);
    rate = Math.max(rate, Math.floor((stretch + problem.rules.swapMinutes) / kind.cycle) / n);
  }
  const each = rate * kind.machines.length;
  model.row(-NONE, lastTest === null ? 0 : each, [
    ...spans.flatMap((t) => columns.fills(k, t)),
    ...spans.map((t): Term => [tests[kind.water]![t]!, -each]),
  ]);
}
