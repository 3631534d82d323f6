import type { DutyActivity } from '../../plan/plan.ts';
import type { Duty } from '../../scenario/problem/types.ts';
import { breachAt } from '../breach.ts';
import type { Facts } from '../facts.ts';
import { type Rule, ruleOf } from '../verdict.ts';

/** The place that a duty's row names is the one that the activity names. */
function isAtPlace({ problem }: Facts, { place }: Duty, { machine, water }: DutyActivity): boolean {
  if (place === null) return machine == null && water == null;
  return place.kind === 'machine'
    ? water == null && machine === problem.machines[place.index]?.id
    : machine == null && water === problem.water[place.index]?.id;
}

/** A duty is in the scenario, is due at the minute that it says, and is done at its place (V7). */
export const dutyKnown: Rule = ruleOf({
  id: 'duty-known',
  says: 'Every duty is one of the scenario, at its place and on one of its times.',
  counts: 'duties',
  judge(facts) {
    const violations = facts.duties.flatMap((activity) => {
      const duty = facts.duty(activity);
      if (!duty) return breachAt(facts, activity, 'is of no duty that the scenario has');
      if (!duty.at.includes(activity.at))
        return breachAt(facts, activity, `is for ${facts.at(activity.at)}, when the duty is not due`);
      return isAtPlace(facts, duty, activity)
        ? []
        : breachAt(facts, activity, "names a place that is not the duty's");
    });
    return { violations, count: facts.duties.length };
  },
});
