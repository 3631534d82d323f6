import { type Clock, nextDate } from '../../calendar/clock.ts';
import { decimal, divide, type Fraction, multiply, toNumber, whole } from '../../exact/fraction.ts';
import type { Patient } from '../schema.ts';
import { type Course, type CourseStep, MINUTES_A_DAY, type Span } from './types.ts';

/**
 * Dialysate that runs per elapsed minute: max(0, dose x weight - fluidRemoval - replacement) x hoursPerDay / 24.
 * @param row dose mL/kg/h, weight kg, fluidRemoval and replacement mL/h, hoursPerDay h
 * @returns mL/min, exact
 */
export function dialysateRate(row: {
  dose: number;
  weight: number;
  fluidRemoval: number;
  replacement: number;
  hoursPerDay: number;
}): Fraction {
  const effluent = multiply(decimal(row.dose), decimal(row.weight));
  const other = decimal(row.fluidRemoval);
  const replaced = decimal(row.replacement);
  const n =
    effluent.n * other.d * replaced.d - other.n * effluent.d * replaced.d - replaced.n * effluent.d * other.d;
  if (n <= 0n) return whole(0);
  const hourly = { n, d: effluent.d * other.d * replaced.d };
  return divide(multiply(hourly, decimal(row.hoursPerDay)), whole(24 * 60));
}

/**
 * The times at which therapy runs (M9): so many hours from a time of day on, each date, also what began before the scenario's
 * start. One that is still open when the next begins ends there (the day of 23 hours).
 */
function sessionsOf(
  { start, hours }: NonNullable<Patient['session']>,
  clock: Clock,
  horizon: number,
): Span[] {
  const length = toNumber(multiply(decimal(hours), whole(60)));
  // Two days back: 24 hours from a time of day on may last into a plan that begins a day later.
  const dates = clock.datesOf(-2 * MINUTES_A_DAY, horizon);
  const begins = [...dates, nextDate(dates.at(-1)!, 1)].map((date) => clock.minuteOf(`${date}T${start}`));
  return begins.slice(0, -1).flatMap((from, index) => {
    const to = Math.min(from + length, begins[index + 1]!);
    return to > Math.max(0, from) && from < horizon ? { from, to } : [];
  });
}

/**
 * One patient's prescriptions over time. Changes apply in order of time, those at one time in list order; those before
 * the start apply from it.
 */
export function courseOf(
  row: Patient,
  clock: Clock,
  bathNumber: ReadonlyMap<string, number>,
  horizon: number,
): Course {
  const now = {
    dose: row.dose,
    weight: row.weight,
    fluidRemoval: row.fluidRemoval ?? 0,
    replacement: row.replacement ?? 0,
    hoursPerDay: row.hoursPerDay ?? 24,
    bath: row.bath,
  };
  const from = row.from ? clock.minuteOf(row.from) : 0;
  const until = row.until ? clock.minuteOf(row.until) : horizon;
  const start = Math.max(0, from);
  const changes = (row.changes ?? [])
    .map((change) => ({ change, at: clock.minuteOf(change.at) }))
    .sort((a, b) => a.at - b.at)
    .map(({ change, at }) => ({ change, at: Math.max(start, at) }));
  const step = (at: number): CourseStep => ({
    at,
    bath: bathNumber.get(now.bath)!,
    rate: dialysateRate(now),
  });
  const steps = [step(start)];
  for (const { change, at } of changes) {
    now.dose = change.dose ?? now.dose;
    now.weight = change.weight ?? now.weight;
    now.fluidRemoval = change.fluidRemoval ?? now.fluidRemoval;
    now.replacement = change.replacement ?? now.replacement;
    now.hoursPerDay = change.hoursPerDay ?? now.hoursPerDay;
    now.bath = change.bath ?? now.bath;
    if (steps.at(-1)!.at === at) steps.pop();
    steps.push(step(at));
  }
  const sessions = row.session ? sessionsOf(row.session, clock, horizon) : null;
  return { id: row.id, from, until, steps, sessions, ward: row.ward ?? null, priority: row.priority ?? null };
}

const courses = new WeakMap<Patient, { key: string; course: Course }>();

/** `courseOf`, remembered by row: an edit elsewhere in the sheet leaves a patient's course the same object. */
export function knownCourse(
  row: Patient,
  {
    clock,
    bathNumber,
    horizon,
    key,
  }: { clock: Clock; bathNumber: ReadonlyMap<string, number>; horizon: number; key: string },
): Course {
  const before = courses.get(row);
  if (before?.key === key) return before.course;
  const course = courseOf(row, clock, bathNumber, horizon);
  courses.set(row, { key, course });
  return course;
}
