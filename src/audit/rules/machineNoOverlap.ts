import { nameOf } from '../facts.ts';
import { type Rule, ruleOf, type Wrong } from '../verdict.ts';

/** A machine does one thing at a time, duties included (V1). */
export const machineNoOverlap: Rule = ruleOf({
  id: 'machine-no-overlap',
  says: 'A machine does one thing at a time.',
  counts: 'activities',
  judge(facts) {
    const violations: Wrong[] = [];
    let count = 0;
    for (const [number, activities] of facts.allOnMachine.entries()) {
      count += activities.length;
      const { id } = facts.problem.machines[number]!;
      let before = activities[0];
      for (const activity of activities.slice(1)) {
        const { start, end } = activity;
        const until = Math.min(before!.end, end);
        if (until > start)
          violations.push({
            message: `${id} would do two things at once from ${facts.at(start)} to ${facts.at(until)}: ${nameOf(before!)} and ${nameOf(activity)}.`,
            start,
            end: until,
            place: id,
            amount: until - start,
            unit: 'min',
          });
        if (end > before!.end) before = activity;
      }
    }
    return { violations, count };
  },
});
