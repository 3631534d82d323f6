import { breachAt } from '../breach.ts';
import { walkMachines } from '../loaded.ts';
import { type Rule, ruleOf, type Wrong } from '../verdict.ts';

/** A fill and a bath change need a circuit in place, be it an expired one; a duty may have ended it (V4). */
export const circuitInPlace: Rule = ruleOf({
  id: 'circuit-in-place',
  says: 'Fills and bath changes find a circuit in place.',
  counts: 'fills and bath changes',
  judge(facts) {
    const violations: Wrong[] = [];
    let count = 0;
    walkMachines(facts, (activity, loaded) => {
      if (activity.kind !== 'fill' && activity.kind !== 'bath') return;
      count += 1;
      if (!loaded) violations.push(breachAt(facts, activity, 'finds no circuit in place'));
    });
    return { violations, count };
  },
});
