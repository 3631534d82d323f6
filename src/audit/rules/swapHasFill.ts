import { nameOf, timesAt } from '../facts.ts';
import { type Rule, ruleOf, type Wrong } from '../verdict.ts';

/** Every swap starts the minute one fill on its machine ends; one under way had its fill before now (V2). */
export const swapHasFill: Rule = ruleOf({
  id: 'swap-has-fill',
  says: 'Every bag swap follows a fill.',
  counts: 'swaps',
  judge(facts) {
    const violations: Wrong[] = [];
    let count = 0;
    for (const activities of facts.onMachine) {
      const fills = timesAt(activities, 'fill', 'end');
      for (const swap of activities) {
        if (swap.kind !== 'swap' || facts.isUnderWay(swap)) continue;
        count += 1;
        const found = fills.get(swap.start) ?? 0;
        if (found === 1) continue;
        violations.push({
          message: `The ${nameOf(swap)} at ${facts.at(swap.start)} follows ${found === 0 ? 'no fill' : `${found} fills`} ending then; it needs one.`,
          start: swap.start,
          end: swap.end,
          place: swap.machine,
          amount: Math.abs(found - 1),
          unit: 'fill',
        });
      }
    }
    return { violations, count };
  },
});
