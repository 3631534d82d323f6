import { breachOver } from '../breach.ts';
import { counted, judgedFrom } from '../facts.ts';
import { type Rule, ruleOf, type Wrong } from '../verdict.ts';

/**
 * An activity on a machine lies inside one of its available windows; windows that touch are not merged. A duty need not.
 * Of what is under way the part from now on is judged (V1).
 */
export const withinWindow: Rule = ruleOf({
  id: 'within-window',
  says: 'Machines work only while they are available.',
  counts: 'activities',
  judge(facts) {
    const violations: Wrong[] = [];
    facts.onMachine.forEach((activities, number) => {
      const { id, windows } = facts.problem.machines[number]!;
      for (const activity of activities) {
        const start = judgedFrom(facts, activity);
        const { end } = activity;
        const inside = Math.max(
          0,
          ...windows.map(({ from, to }) => Math.min(end, to) - Math.max(start, from)),
        );
        const outside = end - start - inside;
        if (outside > 0)
          violations.push(
            breachOver(
              facts,
              activity,
              `lies ${counted(outside, 'minute')} outside any one time that ${id} is available`,
              outside,
            ),
          );
      }
    });
    return { violations, count: facts.onMachine.flat().length };
  },
});
