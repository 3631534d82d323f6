import { breachOver } from '../breach.ts';
import { counted } from '../facts.ts';
import { type Rule, ruleOf } from '../verdict.ts';

/** Everything lies between the scenario's start and its horizon (V1). */
export const withinHorizon: Rule = ruleOf({
  id: 'within-horizon',
  says: 'Everything lies within the time that is planned.',
  counts: 'activities',
  judge(facts) {
    const { horizon } = facts.problem;
    const violations = facts.sound
      .filter(({ start, end }) => start < 0 || end > horizon)
      .map((activity) => {
        const { start, end } = activity;
        const inside = Math.max(0, Math.min(end, horizon) - Math.max(start, 0));
        const outside = end - start - inside;
        const wrong = `lies ${counted(outside, 'minute')} outside the plan's time, ${facts.at(0)} to ${facts.at(horizon)}`;
        return breachOver(facts, activity, wrong, outside);
      });
    return { violations, count: facts.sound.length };
  },
});
