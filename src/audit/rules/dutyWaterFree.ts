import type { Activity, DutyActivity } from '../../plan/plan.ts';
import { type Facts, flows, nameOf } from '../facts.ts';
import { type Rule, ruleOf, type Wrong } from '../verdict.ts';

/** What may not go on at a source while a duty is done there: duties at it may overlap, and swaps go on. */
function disturbing(facts: Facts, source: number): Activity[] {
  const onMachines = facts.allOnMachine.flatMap((activities, index) =>
    facts.problem.machines[index]!.water === source ? activities : [],
  );
  return [
    ...onMachines.filter((one) => (one.kind === 'duty' ? (facts.duty(one)?.flow ?? 0) > 0 : flows(one))),
    ...facts.sound.filter((one) => one.kind === 'test' && facts.sourceNumber(one) === source),
  ];
}

function breach(facts: Facts, duty: DutyActivity, other: Activity): Wrong | [] {
  const start = Math.max(duty.start, other.start);
  const end = Math.min(duty.end, other.end);
  if (end <= start) return [];
  return {
    message: `While ${nameOf(duty)} is done, ${facts.at(duty.start)} to ${facts.at(duty.end)}, its water is not free: ${nameOf(other)}, ${facts.at(other.start)} to ${facts.at(other.end)}.`,
    start,
    end,
    place: duty.water ?? '',
    amount: end - start,
    unit: 'min',
  };
}

/** While a duty is done at a water source, no machine of it runs, it is not tested, and no machine's duty draws from it (V7). */
export const dutyWaterFree: Rule = ruleOf({
  id: 'duty-water-free',
  says: 'While a duty is done at a water source, nothing else uses its water.',
  counts: 'duties',
  judge(facts) {
    const violations = facts.dutiesAtWater.flatMap((duties, source) => {
      const others = disturbing(facts, source);
      return duties.flatMap((duty) => others.flatMap((other) => breach(facts, duty, other)));
    });
    return { violations, count: facts.dutiesAtWater.flat().length };
  },
});
