import { breachAt } from '../breach.ts';
import { type Rule, ruleOf } from '../verdict.ts';

/** The machine or the water source of an activity is in the scenario; a duty's place is judged with the duty. */
export const knownPlace: Rule = ruleOf({
  id: 'known-place',
  says: 'Every machine and water source is in the scenario.',
  counts: 'activities',
  judge(facts) {
    const placed = facts.sound.filter(({ kind }) => kind !== 'duty');
    const violations = placed.flatMap((activity) => {
      if (facts.machine(activity) ?? facts.source(activity)) return [];
      const what = activity.kind === 'test' ? 'water source' : 'machine';
      return breachAt(facts, activity, `names a ${what} that the scenario does not have`);
    });
    return { violations, count: placed.length };
  },
});
