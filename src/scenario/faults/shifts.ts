import { isLocalTime, TIME_OF_DAY } from '../../calendar/clock.ts';
import { limitsOf } from '../fields.ts';
import { shiftBands } from '../problem/shifts.ts';
import { MINUTES_A_DAY } from '../problem/types.ts';
import { type Fault, type FaultRule, type Ground, outside, repeated, warning } from './fault.ts';

function* duplicateShift({ scenario }: Ground): Iterable<Fault> {
  yield* repeated('shifts', scenario.shifts, 'id');
}

function* techniciansOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { technicians }] of scenario.shifts.entries())
    yield* outside(['shifts', i, 'technicians'], technicians, limitsOf('shifts[].technicians'));
}

/** A shift that is there but has nobody in it. */
function* emptyShift({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { technicians }] of scenario.shifts.entries())
    if (technicians === 0)
      yield warning(
        ['shifts', i, 'technicians'],
        'Technicians is 0: nobody works in this shift',
        'at least 1, or no such shift',
      );
}

function* shiftOfWholeDay({ scenario }: Ground): Iterable<Fault> {
  for (const [i, { from, to }] of scenario.shifts.entries())
    if (from === to)
      yield warning(
        ['shifts', i, 'to'],
        `the shift runs from ${from} to ${to}`,
        'two different times; equal ones are taken as until that time on the next day',
      );
}

/** The bands that shifts make, when all their times can be read. */
function bandsOf({ scenario, clock, horizon }: Ground) {
  const readable = scenario.shifts.every(
    ({ from, to, dates }) =>
      TIME_OF_DAY.test(from) &&
      TIME_OF_DAY.test(to) &&
      (dates ?? []).every((date) => isLocalTime(`${date}T00:00`)),
  );
  return clock && readable ? shiftBands(scenario.shifts, clock, horizon) : null;
}

function* shiftOutsidePlan(ground: Ground): Iterable<Fault> {
  const bands = bandsOf(ground);
  if (!bands) return;
  const worked = new Set(bands.map((band) => band.shift));
  for (const [i, shift] of ground.scenario.shifts.entries())
    if (!worked.has(shift.id))
      yield warning(
        ['shifts', i, 'dates'],
        `on none of the plan's days: ${shift.dates?.join(', ') || 'no date'}`,
        'dates within the plan, or no field: every day',
      );
}

function* nobodyAtWork(ground: Ground): Iterable<Fault> {
  const bands = bandsOf(ground);
  if (bands && !bands.some((band) => band.technicians > 0))
    yield warning(
      ['shifts'],
      'no technician is on shift at any time of the plan',
      'a shift with technicians; nothing can be filled',
    );
}

/** A shift that is given dates ends with them: days added to the plan later have nobody. */
function* daysOfNobody(ground: Ground): Iterable<Fault> {
  const { clock, horizon } = ground;
  const bands = bandsOf(ground)?.filter((band) => band.technicians > 0);
  if (!clock || !bands || bands.length === 0) return;
  const starts = Array.from({ length: Math.ceil(horizon / MINUTES_A_DAY) }, (_, day) => day * MINUTES_A_DAY);
  const empty = starts.filter((at) => !bands.some(({ from, to }) => from < at + MINUTES_A_DAY && to > at));
  if (empty.length > 0)
    yield warning(
      ['shifts'],
      `nobody is on shift for 24 h from ${empty.map((at) => clock.localOf(at).replace('T', ' ')).join(', ')}`,
      'a shift on each day of the plan, unless nobody works then',
    );
}

export const SHIFT_RULES: Record<string, FaultRule> = {
  duplicateShift,
  techniciansOutOfRange,
  emptyShift,
  shiftOfWholeDay,
  shiftOutsidePlan,
  nobodyAtWork,
  daysOfNobody,
};
