import { counted, nameOf } from '../facts.ts';
import { walkMachines } from '../loaded.ts';
import { type Rule, ruleOf, type Wrong } from '../verdict.ts';

/** Every fill, bath change and swap ends within the life of the circuit that it runs on (V5). */
export const circuitLife: Rule = ruleOf({
  id: 'circuit-life',
  says: "Everything on a circuit ends within the circuit's life.",
  counts: 'fills, bath changes and swaps',
  judge(facts) {
    const { circuitLife: life } = facts.problem.rules;
    const violations: Wrong[] = [];
    let count = 0;
    walkMachines(facts, (activity, loaded) => {
      if (activity.kind === 'circuit' || !loaded) return;
      count += 1;
      const over = activity.end - (loaded.since + life);
      if (over > 0)
        violations.push({
          message: `The ${nameOf(activity)} ends at ${facts.at(activity.end)}, ${counted(over, 'minute')} after the life of its circuit, in place since ${facts.at(loaded.since)}, has run out.`,
          start: activity.start,
          end: activity.end,
          place: activity.machine,
          amount: over,
          unit: 'min',
        });
    });
    return { violations, count };
  },
});
