import { type Clock, nextDate } from '../../calendar/clock.ts';
import { decimal, divide, type Fraction, multiply, subtract, toNumber, whole } from '../../exact/fraction.ts';
import type { Patient } from '../schema.ts';
import { type Course, type CourseStep, type DoseMeans, MINUTES_A_DAY, type Span } from './types.ts';

/** A prescription as far as the dialysate follows from it. */
interface Prescribed {
  /** mL/kg/h */
  readonly dose: number;
  /** kg */
  readonly weight: number;
  /** mL/h */
  readonly fluidRemoval: number;
  readonly replacement: number;
  /** Citrate solution that counts into the effluent, mL/h: see `citrateInEffluent`. */
  readonly citrate?: number;
  /** h in 24 */
  readonly hoursPerDay: number;
}

/**
 * Dialysate that runs per elapsed minute (M6): of a dose that means effluent max(0, dose x weight - fluidRemoval -
 * replacement - citrate) x hoursPerDay / 24, of one that means dialysate dose x weight x hoursPerDay / 24.
 * @returns mL/min, exact
 */
export function dialysateRate(row: Prescribed, means: DoseMeans = 'effluent'): Fraction {
  const hourly = hourlyRate(row, means);
  return hourly.n <= 0n ? whole(0) : divide(multiply(hourly, decimal(row.hoursPerDay)), whole(MINUTES_A_DAY));
}

/** What the pump runs while therapy runs, mL/h, exact; below 0 where the other flows are more than the dose. */
export function hourlyRate(row: Omit<Prescribed, 'hoursPerDay'>, means: DoseMeans): Fraction {
  const dosed = multiply(decimal(row.dose), decimal(row.weight));
  if (means === 'dialysate') return dosed;
  const [other, replaced] = [decimal(row.fluidRemoval), decimal(row.replacement)];
  const n = dosed.n * other.d * replaced.d - other.n * dosed.d * replaced.d - replaced.n * dosed.d * other.d;
  const rest = { n, d: dosed.d * other.d * replaced.d };
  return row.citrate ? subtract(rest, decimal(row.citrate)) : rest;
}

/** Citrate solution that counts into the effluent, mL/h: only while the bed's anticoagulation is citrate. */
export const citrateInEffluent = (row: {
  readonly anticoagulation?: string | null | undefined;
  readonly citrateFlow?: number | null | undefined;
}): number => (row.anticoagulation === 'citrate' ? (row.citrateFlow ?? 0) : 0);

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

/** What a course is told against. */
interface CourseGround {
  readonly clock: Clock;
  readonly bathNumber: ReadonlyMap<string, number>;
  /** min */
  readonly horizon: number;
  readonly doseMeans: DoseMeans;
}

/**
 * One patient's prescriptions over time. Changes apply in order of time, those at one time in list order; those before
 * the start apply from it.
 */
export function courseOf(row: Patient, { clock, bathNumber, horizon, doseMeans }: CourseGround): Course {
  const now = {
    dose: row.dose,
    weight: row.weight,
    fluidRemoval: row.fluidRemoval ?? 0,
    replacement: row.replacement ?? 0,
    hoursPerDay: row.hoursPerDay ?? 24,
    anticoagulation: row.anticoagulation,
    citrateFlow: row.citrateFlow,
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
    rate: dialysateRate({ ...now, citrate: citrateInEffluent(now) }, doseMeans),
  });
  const steps = [step(start)];
  for (const { change, at } of changes) {
    now.dose = change.dose ?? now.dose;
    now.weight = change.weight ?? now.weight;
    now.fluidRemoval = change.fluidRemoval ?? now.fluidRemoval;
    now.replacement = change.replacement ?? now.replacement;
    now.hoursPerDay = change.hoursPerDay ?? now.hoursPerDay;
    now.anticoagulation = change.anticoagulation ?? now.anticoagulation;
    now.citrateFlow = change.citrateFlow ?? now.citrateFlow;
    now.bath = change.bath ?? now.bath;
    if (steps.at(-1)!.at === at) steps.pop();
    steps.push(step(at));
  }
  const sessions = row.session ? sessionsOf(row.session, clock, horizon) : null;
  const open = row.hanging
    ? {
        hungAt: Math.min(0, clock.minuteOf(row.hanging.hungAt)),
        left: multiply(decimal(row.hanging.litres), whole(1000)),
      }
    : null;
  const [ward, priority] = [row.ward ?? null, row.priority ?? null];
  return { id: row.id, from, until, steps, sessions, open, ward, priority };
}

const courses = new WeakMap<Patient, { key: string; course: Course }>();

/** `courseOf`, remembered by row: an edit elsewhere in the sheet leaves a patient's course the same object. */
export function knownCourse(row: Patient, key: string, ground: CourseGround): Course {
  const before = courses.get(row);
  if (before?.key === key) return before.course;
  const course = courseOf(row, ground);
  courses.set(row, { key, course });
  return course;
}
