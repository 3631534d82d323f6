import type { Supply } from '../../scenario/problem/types.ts';
import { type Flowing, flows, lengthOf, nameOf } from '../facts.ts';
import { Changes, stretchesOver } from '../stretches.ts';
import { type Rule, ruleOf, type Wrong } from '../verdict.ts';

/** Units of a supply that one activity takes, all of them as it starts. */
function usedBy(supply: Supply, activity: Flowing, machine: number, bath: number): number {
  if (supply.bath !== null && supply.bath !== bath) return 0;
  const apiece =
    activity.kind === 'circuit' ? supply.perCircuit : activity.kind === 'fill' ? supply.perFill : 0;
  return apiece + lengthOf(activity) * (supply.perMinute[machine] ?? 0);
}

/**
 * At every minute, what has been used of a supply is at most what was on hand and has been delivered. What is under way
 * took its supplies before now. Duties take none (V10).
 */
export const suppliesEnough: Rule = ruleOf({
  id: 'supplies-enough',
  says: 'Nothing is used that is not there yet.',
  counts: 'uses',
  judge(facts) {
    const flowing = facts.sound.filter(flows).filter((activity) => !facts.isUnderWay(activity));
    const violations: Wrong[] = [];
    let count = 0;
    for (const supply of facts.problem.supplies) {
      const changes = new Changes<number>((a, b) => a + b);
      const takers = new Map<number, Flowing>();
      for (const { at, quantity } of supply.deliveries) changes.add(at, quantity);
      for (const activity of flowing) {
        const machine = facts.machineNumber(activity);
        if (machine < 0) continue;
        const units = usedBy(supply, activity, machine, facts.bathNumber(activity.bath));
        if (units === 0) continue;
        count += 1;
        changes.add(activity.start, -units);
        if (!takers.has(activity.start)) takers.set(activity.start, activity);
      }
      let missing = -supply.onHand;
      const steps = changes.inOrder().map(([minute, units]): [number, number] => {
        missing -= units;
        return [minute, missing / supply.scale];
      });
      for (const { start, end, over } of stretchesOver(steps, facts.problem.horizon)) {
        const amount = Number(over.toPrecision(9));
        const taker = takers.get(start);
        violations.push({
          message: `${supply.item}: up to ${amount} more used than was on hand and delivered, from ${facts.at(start)}${taker ? ` (${nameOf(taker)})` : ''} to ${facts.at(end)}.`,
          start,
          end,
          place: supply.item,
          amount,
          unit: supply.item,
        });
      }
    }
    return { violations, count };
  },
});
