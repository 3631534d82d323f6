import { isLocalTime } from '../../calendar/clock.ts';
import { decimal, multiply, whole } from '../../exact/fraction.ts';
import { limitsOf } from '../fields.ts';
import { error, type Fault, type FaultRule, type Ground, outside } from './fault.ts';

function* sessionHoursOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { session }] of scenario.patients.entries()) {
    if (!session) continue;
    const path = ['patients', i, 'session', 'hours'];
    const faults = [...outside(path, session.hours, limitsOf('patients[].session.hours'))];
    yield* faults;
    if (
      faults.length === 0 &&
      Number.isFinite(session.hours) &&
      multiply(decimal(session.hours), whole(60)).d !== 1n
    )
      yield error(
        path,
        `Session lasts ${session.hours} h, which is no whole number of minutes`,
        'e.g. 8, 8.5 or 8.25',
      );
  }
}

/** In a session the rate is the full one: hours per day beside it would say the same twice, or something else. */
function* sessionBesideHours({ scenario }: Ground): Iterable<Fault> {
  const hint = 'either a session or Therapy hours per day: in a session the rate is the full one';
  for (const [i, { session, hoursPerDay, changes }] of scenario.patients.entries()) {
    if (!session) continue;
    if (hoursPerDay != null)
      yield error(
        ['patients', i, 'hoursPerDay'],
        `Therapy hours per day is ${hoursPerDay} beside a session`,
        hint,
      );
    for (const [j, change] of (changes ?? []).entries())
      if (change.hoursPerDay != null)
        yield error(
          ['patients', i, 'changes', j, 'hoursPerDay'],
          `Therapy hours per day is ${change.hoursPerDay} beside a session`,
          hint,
        );
  }
}

function* sessionInChange({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { changes }] of scenario.patients.entries())
    for (const [j, change] of (changes ?? []).entries())
      if (change.session != null)
        yield error(
          ['patients', i, 'changes', j, 'session'],
          'a change cannot change a session',
          'end this row with Until, and list the patient again from then on with the other session',
        );
}

/** A bag that hangs at the start was hung by then, and holds something. */
function* hangingOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { hanging }] of scenario.patients.entries()) {
    if (!hanging) continue;
    const path = ['patients', i, 'hanging'];
    yield* outside([...path, 'litres'], hanging.litres, limitsOf('patients[].hanging.litres'));
    if (isLocalTime(hanging.hungAt) && isLocalTime(scenario.start) && hanging.hungAt > scenario.start)
      yield error(
        [...path, 'hungAt'],
        `the bag hangs from ${hanging.hungAt} on, after the start`,
        `a time until the start, ${scenario.start}`,
      );
  }
}

export const SESSION_RULES: Record<string, FaultRule> = {
  sessionHoursOutOfRange,
  sessionBesideHours,
  sessionInChange,
  hangingOutOfRange,
};
