import { type Facts, flows, judgedFrom, nameOf } from '../facts.ts';
import { type Rule, ruleOf, type Wrong } from '../verdict.ts';

/** The latest of ascending ends that is not after a minute, and the first that is. */
function around(ends: readonly number[], minute: number): { last: number | undefined; next: number } {
  let low = 0;
  let high = ends.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (ends[middle]! <= minute) low = middle + 1;
    else high = middle;
  }
  return { last: ends[low - 1], next: ends[low] ?? Number.POSITIVE_INFINITY };
}

/** How the tests of one source serve: what ended when, and the duties from whose start earlier tests are void. */
interface Served {
  readonly ends: readonly number[];
  readonly voids: readonly { readonly start: number; readonly end: number }[];
  readonly testEvery: number;
}

/** Up to which minute water is tested that is tested at this one; undefined: it is not. Else what the last test was. */
function testedUntil({ ends, voids, testEvery }: Served, minute: number) {
  const { last, next } = around(ends, minute);
  const isVoid = last !== undefined && voids.some(({ start, end }) => start <= minute && last < end);
  if (last === undefined || isVoid || minute > last + testEvery)
    return { until: undefined, last, isVoid, next };
  const voided = voids.filter(({ start }) => start > minute).map(({ start }) => start);
  return { until: Math.min(last + testEvery + 1, ...voided), last, isVoid, next };
}

/**
 * At every minute from now on that water flows through a machine, its source has a test that ended at most testEvery
 * minutes before and that no duty has made void since (V9).
 */
export const waterTested: Rule = ruleOf({
  id: 'water-tested',
  says: 'Water runs only on a total chlorine test that still holds.',
  counts: 'activities',
  judge(facts: Facts) {
    const violations: Wrong[] = [];
    let count = 0;
    facts.onMachine.forEach((activities, index) => {
      const number = facts.problem.machines[index]!.water;
      const source = facts.problem.water[number];
      if (!source) return;
      const { testEvery } = source;
      const voids = facts.dutiesAtWater[number]!.filter((duty) => facts.duty(duty)?.voidsTests);
      const served: Served = { ends: facts.testEnds[number]!, voids, testEvery };
      for (const activity of activities) {
        if (!flows(activity)) continue;
        count += 1;
        let t = judgedFrom(facts, activity);
        while (t < activity.end) {
          const { until, last, isVoid, next } = testedUntil(served, t);
          if (until !== undefined) {
            t = until;
            continue;
          }
          const bareUntil = Math.min(next, activity.end);
          const held = isVoid ? 'is void since a duty there' : `serves ${testEvery} minutes`;
          const why =
            last === undefined
              ? 'no test has ended before'
              : `the last test ended at ${facts.at(last)} and ${held}`;
          violations.push({
            message: `The ${nameOf(activity)} runs untested water of ${source.id} from ${facts.at(t)} to ${facts.at(bareUntil)}: ${why}.`,
            start: t,
            end: bareUntil,
            place: source.id,
            amount: bareUntil - t,
            unit: 'min',
          });
          t = bareUntil;
        }
      }
    });
    return { violations, count };
  },
});
