import { breachAt } from '../breach.ts';
import { counted } from '../facts.ts';
import { type Rule, ruleOf } from '../verdict.ts';

/** A duty begins when it is due, or no more than its slack later (V7). */
export const dutyInTime: Rule = ruleOf({
  id: 'duty-in-time',
  says: 'Every duty begins when it is due, or within its slack.',
  counts: 'duties',
  judge(facts) {
    const violations = facts.duties.flatMap((activity) => {
      const duty = facts.duty(activity);
      if (!duty) return [];
      const early = activity.at - (duty.early ?? 0) - activity.start;
      const late = activity.start - (activity.at + duty.slack);
      if (early <= 0 && late <= 0) return [];
      const amount = Math.max(early, late);
      const wrong =
        early > 0
          ? `begins ${counted(early, 'minute')} before ${facts.at(activity.at)}`
          : `begins ${counted(late, 'minute')} after ${facts.at(activity.at + duty.slack)}`;
      return breachAt(facts, activity, wrong, { amount, unit: 'min' });
    });
    return { violations, count: facts.duties.length };
  },
});
