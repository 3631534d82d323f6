import { placeOf } from '../../plan/plan.ts';
import { type Work, workOf } from '../../plan/work.ts';
import { counted, type Facts, nameOf } from '../facts.ts';
import { stretchesOver } from '../stretches.ts';
import { type Rule, ruleOf, type Wrong } from '../verdict.ts';

/** Technicians at work or on the way to it, minute by minute. */
function atWorkByMinute(works: readonly Work[], horizon: number): Int32Array {
  const held = new Int32Array(horizon);
  for (const { walkFrom, end, technicians } of works)
    for (let minute = Math.max(0, walkFrom); minute < Math.min(horizon, end); minute++)
      held[minute]! += technicians;
  return held;
}

/** The works of some minutes, by minute. */
function worksAt(works: readonly Work[], minutes: readonly number[]): Map<number, Work[]> {
  return new Map(
    minutes.map((minute) => [
      minute,
      works.filter(({ walkFrom, end }) => walkFrom <= minute && minute < end),
    ]),
  );
}

function sentence(facts: Facts, work: Work, minute: number): string {
  const name = nameOf(facts.sound[work.index]!);
  const walking = minute < work.start ? ', on the way' : '';
  return `${name}${walking}${work.technicians > 1 ? `, ${work.technicians} technicians` : ''}`;
}

/** At every minute from now on the hands that work takes, walks included, are no more than the technicians on shift (V6). */
export const techniciansEnough: Rule = ruleOf({
  id: 'technicians-enough',
  says: 'There are technicians for all that is done at one time, walks included.',
  counts: 'minutes',
  judge(facts) {
    const { staff, horizon, now } = facts.problem;
    const works = workOf(facts.problem, facts.sound);
    const held = atWorkByMinute(works, horizon);
    const steps = Array.from(staff, (technicians, minute): [number, number] => [
      minute,
      minute < now ? 0 : held[minute]! - technicians,
    ]);
    const stretches = stretchesOver(steps, horizon);
    const atWorst = worksAt(
      works,
      stretches.map(({ worst }) => worst),
    );
    const violations = stretches.map(({ start, end, worst, over }): Wrong => {
      const under = atWorst.get(worst)!;
      return {
        message: `From ${facts.at(start)} to ${facts.at(end)} hands are missing: at ${facts.at(worst)} ${counted(over, 'technician')} too few, ${held[worst]} at work (${under.map((work) => sentence(facts, work, worst)).join('; ')}) with ${staff[worst]} on shift.`,
        start,
        end,
        place: under.flatMap(({ index }) => placeOf(facts.sound[index]!) || []).join(', '),
        amount: over,
        unit: 'technician',
      };
    });
    return { violations, count: held.subarray(now).filter((count) => count > 0).length };
  },
});
