import { breachAt } from '../breach.ts';
import { counted } from '../facts.ts';
import { type Rule, ruleOf } from '../verdict.ts';

/** Where a day under way is planned on, nothing begins before now but what is under way (M26). */
export const beginsFromNow: Rule = ruleOf({
  id: 'begins-from-now',
  says: 'Nothing is planned to begin in the past.',
  counts: 'activities',
  judge(facts) {
    const { now } = facts.problem;
    const violations = facts.sound
      .filter((activity) => now > 0 && activity.start < now && !facts.isUnderWay(activity))
      .map((activity) =>
        breachAt(
          facts,
          activity,
          `begins ${counted(now - activity.start, 'minute')} before ${facts.at(now)}`,
          {
            amount: now - activity.start,
            unit: 'min',
          },
        ),
      );
    return { violations, count: facts.sound.length };
  },
});
