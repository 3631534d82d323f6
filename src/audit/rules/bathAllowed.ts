import { breachAt } from '../breach.ts';
import { flows } from '../facts.ts';
import { type Rule, ruleOf } from '../verdict.ts';

/** A machine runs only the baths of its list (V4). */
export const bathAllowed: Rule = ruleOf({
  id: 'bath-allowed',
  says: 'A machine runs only its own baths.',
  counts: 'activities',
  judge(facts) {
    const flowing = facts.sound.filter(flows);
    const violations = flowing.flatMap((activity) => {
      const machine = facts.machine(activity);
      const bath = facts.bathNumber(activity.bath);
      if (!machine || bath < 0 || machine.baths.includes(bath)) return [];
      const list = machine.baths.map((number) => facts.problem.baths[number]).join(', ') || 'none';
      return breachAt(facts, activity, `runs a bath that ${machine.id} may not run (its baths: ${list})`);
    });
    return { violations, count: flowing.length };
  },
});
