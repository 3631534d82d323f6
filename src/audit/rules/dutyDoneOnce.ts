import { dutyPossible } from '../dutyPossible.ts';
import { type Rule, ruleOf, type Wrong } from '../verdict.ts';

/**
 * Every occurrence of every duty is listed once. On a day under way, one that can no more be done in time is not asked for
 * (V7): see `dutyPossible`.
 */
export const dutyDoneOnce: Rule = ruleOf({
  id: 'duty-done-once',
  says: 'Every duty is done once, each time that it is due.',
  counts: 'times',
  judge(facts) {
    const violations: Wrong[] = [];
    let count = 0;
    const times = new Map<string, number>();
    for (const { duty, at } of facts.duties)
      times.set(`${duty}\n${at}`, (times.get(`${duty}\n${at}`) ?? 0) + 1);
    for (const duty of facts.problem.duties)
      for (const at of duty.at) {
        const found = times.get(`${duty.id}\n${at}`) ?? 0;
        if (found === 0 && facts.problem.now > 0 && !dutyPossible(facts, duty, at)) continue;
        count += 1;
        if (found === 1) continue;
        violations.push({
          message: `${duty.id}, due at ${facts.at(at)}, is ${found === 0 ? 'not in the plan' : `in the plan ${found} times`}; it has to be done once.`,
          start: at,
          end: at + duty.minutes,
          place: facts.placeOfDuty(duty),
          amount: Math.abs(found - 1),
          unit: 'duty',
        });
      }
    return { violations, count };
  },
});
