import { decimal } from '../../exact/fraction.ts';
import type { Facts } from '../facts.ts';
import { flows, judgedFrom } from '../facts.ts';
import { Changes, stretchesOver } from '../stretches.ts';
import { type Rule, ruleOf, type Wrong } from '../verdict.ts';

const TEN_TO_THE_24 = 10n ** 24n;
/** mL/min as a whole number of 1e-24: typed decimals add up exactly, so three times 0.1 is not above 0.3. */
const exactly = (flow: number): bigint => {
  const { n, d } = decimal(flow);
  return (n * TEN_TO_THE_24) / d;
};

/** What is drawn from a source: its machines in new circuit, bath change and fill, and the duties there. */
function* drawnFrom(facts: Facts, source: number) {
  for (const [index, activities] of facts.allOnMachine.entries()) {
    const machine = facts.problem.machines[index]!;
    if (machine.water !== source) continue;
    for (const activity of activities) {
      const flow = activity.kind === 'duty' ? (facts.duty(activity)?.flow ?? 0) : machine.flow;
      if (flow > 0 && (activity.kind === 'duty' || flows(activity))) yield { activity, flow: exactly(flow) };
    }
  }
  for (const activity of facts.dutiesAtWater[source]!) {
    const flow = facts.duty(activity)?.flow ?? 0;
    if (flow > 0) yield { activity, flow: exactly(flow) };
  }
}

/** At every minute from now on what is drawn from a source is no more than it gives then (V8). */
export const waterCapacity: Rule = ruleOf({
  id: 'water-capacity',
  says: 'The water drawn at one time fits what its source can give.',
  counts: 'activities',
  judge(facts) {
    const { now, horizon } = facts.problem;
    const violations: Wrong[] = [];
    let count = 0;
    facts.problem.water.forEach((source, number) => {
      const changes = new Changes<bigint>((a, b) => a + b);
      // What it gives is taken off before all else; what is drawn early in a broken plan counts against the first.
      let given = 0n;
      for (const { from, capacity } of source.capacities) {
        changes.add(from === 0 ? Number.NEGATIVE_INFINITY : from, given - exactly(capacity));
        given = exactly(capacity);
      }
      for (const { activity, flow } of drawnFrom(facts, number)) {
        if (now > 0 && activity.end <= now) continue;
        count += 1;
        changes.add(judgedFrom(facts, activity), flow);
        changes.add(activity.end, -flow);
      }
      let over = 0n;
      const steps = changes.inOrder().map(([minute, flow]): [number, number] => {
        over += flow;
        return [minute, Number(over) / 1e24];
      });
      for (const stretch of stretchesOver(steps, horizon)) {
        const { start, end } = stretch;
        const amount = Number(stretch.over.toPrecision(9));
        const gives = source.capacities.findLast(({ from }) => from <= Math.max(0, stretch.worst))!.capacity;
        violations.push({
          message: `From ${facts.at(start)} to ${facts.at(end)} up to ${amount} mL/min more are drawn from ${source.id} than the ${gives} mL/min that it gives.`,
          start,
          end,
          place: source.id,
          amount,
          unit: 'mL/min',
        });
      }
    });
    return { violations, count };
  },
});
