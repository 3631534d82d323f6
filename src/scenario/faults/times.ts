import { isLocalTime, knowsZone, TIME_OF_DAY } from '../../calendar/clock.ts';
import type { Scenario } from '../schema.ts';
import { error, type Fault, type FaultRule, type Ground, MAX_DAYS, warning, YEARS } from './fault.ts';

interface TypedTime {
  readonly path: Fault['path'];
  readonly text: string;
}

/** Every date-time that a person typed, wherever it stands. */
function* dateTimes(scenario: Scenario): Generator<TypedTime> {
  yield { path: ['start'], text: scenario.start };
  function* fields(path: Fault['path'], row: object, names: readonly string[]): Generator<TypedTime> {
    for (const name of names) {
      const text = (row as Record<string, unknown>)[name];
      if (typeof text === 'string') yield { path: [...path, name], text };
    }
  }
  for (const [i, row] of scenario.patients.entries()) {
    yield* fields(['patients', i], row, ['from', 'until']);
    if (row.hanging) yield* fields(['patients', i, 'hanging'], row.hanging, ['hungAt']);
    for (const [j, change] of (row.changes ?? []).entries())
      yield* fields(['patients', i, 'changes', j], change, ['at']);
  }
  for (const [i, row] of scenario.machines.entries()) {
    for (const [j, window] of (row.available ?? []).entries())
      yield* fields(['machines', i, 'available', j], window, ['from', 'to']);
    if (row.loaded) yield* fields(['machines', i, 'loaded'], row.loaded, ['circuitSince']);
  }
  for (const [i, row] of scenario.water.entries()) {
    yield* fields(['water', i], row, ['lastTest']);
    for (const [j, change] of (row.capacityChanges ?? []).entries())
      yield* fields(['water', i, 'capacityChanges', j], change, ['at']);
  }
  for (const list of ['stock', 'deliveries'] as const)
    for (const [i, row] of (scenario[list] ?? []).entries())
      yield* fields([list, i], row, ['ready', 'expires']);
  for (const [i, row] of (scenario.supplies ?? []).entries())
    for (const [j, delivery] of (row.deliveries ?? []).entries())
      yield* fields(['supplies', i, 'deliveries', j], delivery, ['at']);
}

function* unknownTimeZone({ scenario }: Ground): Iterable<Fault> {
  if (!knowsZone(scenario.timeZone))
    yield error(
      ['timeZone'],
      `"${scenario.timeZone}" is no time zone`,
      'an IANA name, e.g. America/Chicago or Europe/Berlin',
    );
}

function* startOutOfRange({ scenario }: Ground): Iterable<Fault> {
  const year = Number(scenario.start.slice(0, 4));
  if (isLocalTime(scenario.start) && (year < YEARS.first || year > YEARS.last))
    yield error(['start'], `Plan starts in the year ${year}`, `a year from ${YEARS.first} to ${YEARS.last}`);
}

function* daysOutOfRange({ scenario }: Ground): Iterable<Fault> {
  if (scenario.days < 1 || scenario.days > MAX_DAYS)
    yield error(['days'], `Plan lasts ${scenario.days} days`, `1 to ${MAX_DAYS} whole days`);
}

function* malformedTime({ scenario }: Ground): Iterable<Fault> {
  for (const { path, text } of dateTimes(scenario))
    if (!isLocalTime(text))
      yield error(
        path,
        `"${text}" is no date and time that the calendar has`,
        'year-month-dayThour:minute in local time, e.g. 2031-02-03T07:00',
      );
}

function* malformedTimeOfDay({ scenario }: Ground): Iterable<Fault> {
  const hint = 'hour:minute from 00:00 to 23:59, e.g. 06:00';
  for (const [i, shift] of scenario.shifts.entries())
    for (const field of ['from', 'to'] as const)
      if (!TIME_OF_DAY.test(shift[field]))
        yield error(['shifts', i, field], `"${shift[field]}" is no time of day`, hint);
  for (const [i, { session }] of scenario.patients.entries())
    if (session && !TIME_OF_DAY.test(session.start))
      yield error(['patients', i, 'session', 'start'], `"${session.start}" is no time of day`, hint);
  for (const [i, { times }] of (scenario.duties ?? []).entries())
    for (const [j, time] of times.entries())
      if (!TIME_OF_DAY.test(time))
        yield error(['duties', i, 'times', j], `"${time}" is no time of day`, hint);
  for (const [i, time] of (scenario.rules?.rounds ?? []).entries())
    if (!TIME_OF_DAY.test(time)) yield error(['rules', 'rounds', i], `"${time}" is no time of day`, hint);
}

function* malformedDate({ scenario }: Ground): Iterable<Fault> {
  const dated = [
    ...scenario.shifts.map(({ dates }, i) => ({ path: ['shifts', i], dates })),
    ...(scenario.duties ?? []).map(({ dates }, i) => ({ path: ['duties', i], dates })),
  ];
  for (const { path, dates } of dated)
    for (const [j, date] of (dates ?? []).entries())
      if (!isLocalTime(`${date}T00:00`))
        yield error(
          [...path, 'dates', j],
          `"${date}" is no date that the calendar has`,
          'year-month-day, e.g. 2031-02-05',
        );
}

/** A clock change skips the time or repeats it: say what it is taken as. */
function* timeAtClockChange({ scenario, clock }: Ground): Iterable<Fault> {
  if (!clock) return;
  for (const { path, text } of dateTimes(scenario)) {
    const oddity = isLocalTime(text) ? clock.oddity(text) : null;
    if (oddity === 'skipped')
      yield warning(
        path,
        `${text} does not exist in ${clock.timeZone}: the clocks skip it`,
        `it is taken as ${clock.localOf(clock.minuteOf(text))}; write that to be sure`,
      );
    if (oddity === 'repeated')
      yield warning(
        path,
        `${text} comes twice in ${clock.timeZone}: the clocks go back over it`,
        'it is taken as the first of the two; write a time outside the repeated hour to be sure',
      );
  }
}

export const TIME_RULES: Record<string, FaultRule> = {
  unknownTimeZone,
  startOutOfRange,
  daysOutOfRange,
  malformedTime,
  malformedTimeOfDay,
  malformedDate,
  timeAtClockChange,
};
