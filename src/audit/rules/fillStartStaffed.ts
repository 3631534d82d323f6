import { breachAt } from '../breach.ts';
import { type Rule, ruleOf } from '../verdict.ts';

/** A fill starts at a minute at which a technician is on shift. What has begun before now is no more judged (V3). */
export const fillStartStaffed: Rule = ruleOf({
  id: 'fill-start-staffed',
  says: 'A technician is on shift when a fill starts.',
  counts: 'fills',
  judge(facts) {
    const { staff, now } = facts.problem;
    const fills = facts.sound.filter(({ kind, start }) => kind === 'fill' && (now === 0 || start >= now));
    const violations = fills
      .filter(({ start }) => !((staff[start] ?? 0) > 0))
      .map((fill) =>
        breachAt(facts, fill, 'starts when no technician is on shift', { amount: 1, unit: 'technician' }),
      );
    return { violations, count: fills.length };
  },
});
