import { isKnownKind } from '../facts.ts';
import { type Rule, ruleOf } from '../verdict.ts';

/** Every activity is of a kind that the format has. */
export const knownKind: Rule = ruleOf({
  id: 'known-kind',
  says: 'Every activity is a new circuit, bath change, fill, bag swap, total chlorine test or duty.',
  counts: 'activities',
  judge: ({ given }) => ({
    violations: given.flatMap((activity, index) =>
      isKnownKind(activity)
        ? []
        : {
            message: `Activity ${index + 1} is of no known kind: it must be circuit, bath, fill, swap, test or duty.`,
            start: 0,
            end: 0,
            place: '',
            amount: 1,
            unit: 'activity',
          },
    ),
    count: given.length,
  }),
});
