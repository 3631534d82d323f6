import type { Activity } from '../../plan/plan.ts';
import { breachOver } from '../breach.ts';
import { counted, type Facts, lengthOf } from '../facts.ts';
import { type Rule, ruleOf } from '../verdict.ts';

/** Minutes that an activity takes; undefined for a fill, and for one of a place or duty that nobody knows. */
function wanted({ problem, source, duty }: Facts, activity: Activity): number | undefined {
  const { circuitMinutes, bathMinutes, swapMinutes } = problem.rules;
  if (activity.kind === 'circuit') return circuitMinutes;
  if (activity.kind === 'bath') return bathMinutes;
  if (activity.kind === 'swap') return swapMinutes;
  return activity.kind === 'duty' ? duty(activity)?.minutes : source(activity)?.testMinutes;
}

/** New circuit, bath change, swap, test and duty take exactly as long as the rules, the water source and the duty say (V2). */
export const rightLength: Rule = ruleOf({
  id: 'right-length',
  says: 'New circuit, bath change, bag swap, total chlorine test and duty take their set time.',
  counts: 'activities',
  judge(facts) {
    const fixed = facts.sound.filter(({ kind }) => kind !== 'fill');
    const violations = fixed.flatMap((activity) => {
      const minutes = wanted(facts, activity);
      if (minutes === undefined || minutes === lengthOf(activity)) return [];
      const wrong = `takes ${counted(lengthOf(activity), 'minute')} instead of ${minutes}`;
      return breachOver(facts, activity, wrong, Math.abs(lengthOf(activity) - minutes));
    });
    return { violations, count: fixed.length };
  },
});
