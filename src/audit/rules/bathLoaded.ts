import { breachAt } from '../breach.ts';
import { walkMachines } from '../loaded.ts';
import { type Rule, ruleOf, type Wrong } from '../verdict.ts';

/** A fill is of the bath that its machine's circuit runs (V4). */
export const bathLoaded: Rule = ruleOf({
  id: 'bath-loaded',
  says: 'A fill is of the bath that runs.',
  counts: 'fills',
  judge(facts) {
    const violations: Wrong[] = [];
    let count = 0;
    walkMachines(facts, (activity, loaded) => {
      if (activity.kind !== 'fill') return;
      count += 1;
      if (loaded && loaded.bath !== activity.bath)
        violations.push(
          breachAt(
            facts,
            activity,
            `finds ${loaded.bath} running: a bath change or a new circuit of ${activity.bath} must come before it`,
          ),
        );
    });
    return { violations, count };
  },
});
