import type { Clock } from '../../calendar/clock.ts';
import { decimal, divide, type Fraction, multiply, whole } from '../../exact/fraction.ts';
import type { Patient } from '../schema.ts';
import type { Course, CourseStep } from './types.ts';

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
  return { id: row.id, from, until, steps };
}

const courses = new WeakMap<Patient, { key: string; course: Course }>();

/** `courseOf`, remembered by row: an edit elsewhere in the sheet leaves a patient's course the same object. */
export function knownCourse(
  row: Patient,
  clock: Clock,
  bathNumber: ReadonlyMap<string, number>,
  horizon: number,
  key: string,
): Course {
  const before = courses.get(row);
  if (before?.key === key) return before.course;
  const course = courseOf(row, clock, bathNumber, horizon);
  courses.set(row, { key, course });
  return course;
}
