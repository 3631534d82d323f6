import { nameOf, timesAt } from '../facts.ts';
import { type Rule, ruleOf, type Wrong } from '../verdict.ts';

/** Every fill has one swap on its machine, which starts the minute the fill ends (V2). */
export const fillHasSwap: Rule = ruleOf({
  id: 'fill-has-swap',
  says: 'Every fill is followed at once by one bag swap.',
  counts: 'fills',
  judge(facts) {
    const violations: Wrong[] = [];
    let count = 0;
    for (const activities of facts.onMachine) {
      const swaps = timesAt(activities, 'swap', 'start');
      for (const fill of activities) {
        if (fill.kind !== 'fill') continue;
        count += 1;
        const found = swaps.get(fill.end) ?? 0;
        if (found === 1) continue;
        violations.push({
          message: `The ${nameOf(fill)} ends at ${facts.at(fill.end)} and has ${found === 0 ? 'no swap' : `${found} swaps`} starting then; it needs one.`,
          start: fill.start,
          end: fill.end,
          place: fill.machine,
          amount: Math.abs(found - 1),
          unit: 'swap',
        });
      }
    }
    return { violations, count };
  },
});
