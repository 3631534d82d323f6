import { breachAt } from '../breach.ts';
import { flows } from '../facts.ts';
import { type Rule, ruleOf } from '../verdict.ts';

/** The bath of an activity is in the scenario. */
export const knownBath: Rule = ruleOf({
  id: 'known-bath',
  says: 'Every bath is in the scenario.',
  counts: 'activities',
  judge(facts) {
    const flowing = facts.sound.filter(flows);
    const violations = flowing
      .filter(({ bath }) => facts.bathNumber(bath) < 0)
      .map((activity) => breachAt(facts, activity, 'names a bath that the scenario does not have'));
    return { violations, count: flowing.length };
  },
});
