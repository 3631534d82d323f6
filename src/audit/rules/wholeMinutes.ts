import { placeOf } from '../../plan/plan.ts';
import { hasSoundTimes, isKnownKind, nameOf } from '../facts.ts';
import { type Rule, ruleOf } from '../verdict.ts';

const finite = (minute: number) => (Number.isFinite(minute) ? minute : 0);

/** Times are whole minutes and an activity starts before it ends. */
export const wholeMinutes: Rule = ruleOf({
  id: 'whole-minutes-start-before-end',
  says: 'Times are whole minutes; an activity starts before it ends.',
  counts: 'activities',
  judge: ({ given }) => ({
    violations: given.flatMap((activity, index) =>
      !isKnownKind(activity) || hasSoundTimes(activity)
        ? []
        : {
            message: `Activity ${index + 1}, ${nameOf(activity)}, starts at minute ${activity.start} and ends at minute ${activity.end}: both must be whole minutes, the start before the end.`,
            start: finite(activity.start),
            end: finite(activity.end),
            place: placeOf(activity) ?? '',
            amount: 1,
            unit: 'activity',
          },
    ),
    count: given.length,
  }),
});
