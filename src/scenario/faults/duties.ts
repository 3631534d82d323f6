import { isLocalTime, TIME_OF_DAY } from '../../calendar/clock.ts';
import { limitsOf } from '../fields.ts';
import { occurrencesOf } from '../problem/duties.ts';
import type { DutyRow } from '../schema.ts';
import {
  error,
  type Fault,
  type FaultRule,
  type Ground,
  outside,
  placesOf,
  repeated,
  warning,
} from './fault.ts';

const rows = ({ scenario }: Ground): readonly DutyRow[] => scenario.duties ?? [];
const isMachine = ({ scenario }: Ground, place: string) => scenario.machines.some(({ id }) => id === place);
const isWater = ({ scenario }: Ground, place: string) => scenario.water.some(({ id }) => id === place);

function* duplicateDuty(ground: Ground): Iterable<Fault> {
  yield* repeated('duties', rows(ground), 'id');
}

/** Where a duty is done must be one place: a name that a machine and a water source share says neither. */
function* dutyPlaceUnclear(ground: Ground): Iterable<Fault> {
  for (const [i, { place }] of rows(ground).entries()) {
    if (place == null) continue;
    const [machine, water] = [isMachine(ground, place), isWater(ground, place)];
    if (!machine && !water)
      yield error(
        ['duties', i, 'place'],
        `"${place}" is neither a machine nor a water source`,
        'the name of a machine or of a water source, or nothing: a break or work elsewhere',
      );
    else if (machine && water)
      yield error(
        ['duties', i, 'place'],
        `"${place}" is a machine and a water source`,
        'a name that only one of the two has: rename the other',
      );
  }
}

/** What a duty does needs something to do it to. */
function* dutyEffectWithoutPlace(ground: Ground): Iterable<Fault> {
  for (const [i, { place, flow, endsCircuit, voidsTests }] of rows(ground).entries()) {
    // A place that is no text is not known; it has a fault of its own.
    if (place === '') continue;
    if ((flow ?? 0) > 0 && place == null)
      yield error(
        ['duties', i, 'flow'],
        `Water drawn is ${flow} mL/min, but the duty has no place`,
        'the machine or the water source that it draws from, or no flow',
      );
    if (endsCircuit && !(place != null && isMachine(ground, place)))
      yield error(
        ['duties', i, 'endsCircuit'],
        'the duty ends a circuit, but its place is no machine',
        'the machine whose circuit it ends, or nothing at Ends the circuit',
      );
    if (voidsTests && !(place != null && isWater(ground, place)))
      yield error(
        ['duties', i, 'voidsTests'],
        'the duty makes tests of the water void, but its place is no water source',
        'the water source whose tests it makes void, or nothing at Voids tests',
      );
  }
}

function* dutyNumberOutOfRange(ground: Ground): Iterable<Fault> {
  for (const [i, row] of rows(ground).entries()) {
    for (const field of ['minutes', 'slackMinutes', 'technicians', 'flow'] as const)
      yield* outside(['duties', i, field], row[field], limitsOf(`duties[].${field}`));
    if (row.flow != null && placesOf(row.flow) > 3)
      yield error(['duties', i, 'flow'], `flow is ${row.flow} mL/min`, 'at most 3 decimals');
  }
}

function* dutyWithoutTimes(ground: Ground): Iterable<Fault> {
  for (const [i, { times }] of rows(ground).entries())
    if (times.length === 0)
      yield error(['duties', i, 'times'], 'the duty has no time', 'one or more times of day, e.g. 04:00');
}

/** A duty that the plan has no room for is not in the plan: somebody may rely on it. */
function* dutyNeverDue(ground: Ground): Iterable<Fault> {
  const { clock, horizon } = ground;
  if (!clock) return;
  for (const [i, row] of rows(ground).entries()) {
    const readable =
      row.times.length > 0 &&
      row.times.every((time) => TIME_OF_DAY.test(time)) &&
      (row.dates ?? []).every((date) => isLocalTime(`${date}T00:00`));
    if (readable && row.dates?.length !== 0 && occurrencesOf(row, clock, horizon).length === 0)
      yield warning(
        ['duties', i],
        'the duty is never due in this plan',
        'times and dates within the plan, early enough to end before it does',
      );
  }
}

export const DUTY_RULES: Record<string, FaultRule> = {
  duplicateDuty,
  dutyPlaceUnclear,
  dutyEffectWithoutPlace,
  dutyNumberOutOfRange,
  dutyWithoutTimes,
  dutyNeverDue,
};
