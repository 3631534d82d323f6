import { type Activity, placeOf } from '../../plan/plan.ts';
import { type Facts, flows, isKnownKind, nameOf } from '../facts.ts';
import type { Finding, Violation } from '../verdict.ts';

const one = (rule: string, facts: Facts, activity: Activity, wrong: string): Violation => ({
  rule,
  message: `The ${nameOf(activity)} at ${facts.at(activity.start)} ${wrong}.`,
  start: activity.start,
  end: activity.end,
  place: placeOf(activity) ?? '',
  amount: 1,
  unit: 'activity',
});

/** Every activity is a circuit change, bath change, fill, swap or test. */
export function knownKind({ given }: Facts): Finding {
  const violations = given.flatMap((activity, index): Violation[] =>
    isKnownKind(activity)
      ? []
      : [
          {
            rule: 'known-kind',
            message: `Activity ${index + 1} is of no known kind: it must be circuit, bath, fill, swap or test.`,
            start: 0,
            end: 0,
            place: '',
            amount: 1,
            unit: 'activity',
          },
        ],
  );
  return { violations, count: given.length };
}

/** The machine or the water source of an activity is in the scenario. */
export function knownPlace(facts: Facts): Finding {
  const violations = facts.sound.flatMap((activity) => {
    if (activity.kind === 'duty' || (facts.machine(activity) ?? facts.source(activity))) return [];
    const what = activity.kind === 'test' ? 'water source' : 'machine';
    return one('known-place', facts, activity, `names a ${what} that the scenario does not have`);
  });
  return { violations, count: facts.sound.length };
}

/** The bath of an activity is in the scenario. */
export function knownBath(facts: Facts): Finding {
  const flowing = facts.sound.filter(flows);
  const violations = flowing
    .filter(({ bath }) => facts.bathNumber(bath) < 0)
    .map((activity) => one('known-bath', facts, activity, 'names a bath that the scenario does not have'));
  return { violations, count: flowing.length };
}

/** A machine runs only the baths of its list. */
export function bathAllowed(facts: Facts): Finding {
  const flowing = facts.sound.filter(flows);
  const violations = flowing.flatMap((activity) => {
    const machine = facts.machine(activity);
    const bath = facts.bathNumber(activity.bath);
    if (!machine || bath < 0 || machine.baths.includes(bath)) return [];
    const list = machine.baths.map((number) => facts.problem.baths[number]).join(', ') || 'none';
    return one(
      'bath-allowed',
      facts,
      activity,
      `runs a bath that ${machine.id} may not run (its baths: ${list})`,
    );
  });
  return { violations, count: flowing.length };
}
