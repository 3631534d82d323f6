import { type Clock, makeClock, nextDate } from '../../calendar/clock.ts';
import {
  ceil,
  decimal,
  divide,
  type Fraction,
  floor,
  multiply,
  places,
  scaled,
  toNumber,
  whole,
} from '../../exact/fraction.ts';
import type { LostRow, Patient, Scenario } from '../schema.ts';

/** Starting values of `rules`; all of them are the site's to change. CP = common practice, no source. */
export const DEFAULT_RULES = {
  fillLitres: 6.5,
  maxLitres: 7.5,
  circuitHours: 24,
  shelfHours: 120,
  stabiliseMinutes: 5,
  sampleMinutes: 5,
  swapMinutes: 8,
  circuitMinutes: 30,
  releaseMinutes: 15,
  rounds: ['06:00', '18:00'],
  leadMinutes: 60,
  maxHangHours: 24,
} as const;

export const MINUTES_A_DAY = 1440;

/** What runs into one patient from minute `at` on. */
export interface CourseStep {
  readonly at: number;
  readonly bath: number;
  /** Dialysate, mL per elapsed minute, exact; 0 when fluid removal and replacement use up the whole dose. */
  readonly rate: Fraction;
}
export interface Course {
  readonly id: string;
  readonly from: number;
  readonly until: number;
  /** In order of time, never empty; the first is in force at `from`. */
  readonly steps: readonly CourseStep[];
}
export interface Machine {
  readonly id: string;
  /** mL/min */
  readonly flow: number;
  readonly positions: number;
  /** Bath numbers it may run. */
  readonly baths: readonly number[];
  /** Index of its water source. */
  readonly water: number;
  /** Sorted by start; `to` is exclusive. Cut to the horizon. */
  readonly windows: readonly { readonly from: number; readonly to: number }[];
  readonly loaded: { readonly bath: number; readonly since: number } | null;
  /** Fill window, min: a fill lasts shortest..longest. */
  readonly shortest: number;
  readonly longest: number;
}
export interface WaterSource {
  readonly id: string;
  /** mL/min */
  readonly capacity: number;
  /** min */
  readonly testEvery: number;
  readonly testMinutes: number;
  /** Minute at which the last test before the plan ended, or null. */
  readonly lastTest: number | null;
}
export interface ShiftBand {
  readonly shift: string;
  readonly from: number;
  readonly to: number;
  readonly technicians: number;
}
export interface Lot {
  readonly id: string;
  readonly origin: 'stock' | 'delivery' | 'fill';
  readonly bath: number;
  readonly bags: number;
  /** Volume of one bag, in parts of a litre (Problem.partsPerLitre). */
  readonly bagParts: number;
  /** First minute at which it may leave; minus infinity for stock there at the start. */
  readonly ready: number;
  /** Minute of expiry; infinity when it never expires. */
  readonly expires: number;
}
export interface Supply {
  readonly item: string;
  /** Whole units per 1 of the item, so that all amounts below are whole numbers. */
  readonly scale: number;
  readonly onHand: number;
  readonly perCircuit: number;
  readonly perFill: number;
  /** Units per minute of flow on each machine. */
  readonly perMinute: readonly number[];
  /** Only activities that run this bath use it; null: all do. */
  readonly bath: number | null;
  readonly deliveries: readonly { readonly at: number; readonly quantity: number }[];
}
export interface Round {
  readonly index: number;
  /** Minute at which its bags leave; 0 for the opening round (index 0). */
  readonly at: number;
  /** It covers bags hung in from..to-1. */
  readonly from: number;
  readonly to: number;
}
export interface Rules {
  /** Exact millilitres that a bag must hold. */
  readonly bagMl: Fraction;
  readonly fillLitres: number;
  readonly maxLitres: number;
  /** Life of a circuit, min. */
  readonly circuitLife: number;
  /** From the end of its fill to a bag's expiry, min. */
  readonly shelf: number;
  /** stabilise + sample, min. */
  readonly bathMinutes: number;
  readonly stabiliseMinutes: number;
  readonly sampleMinutes: number;
  readonly swapMinutes: number;
  readonly circuitMinutes: number;
  readonly releaseMinutes: number;
  readonly leadMinutes: number;
  /** A hung bag is discarded after this, min, exact. */
  readonly maxHang: Fraction;
}

/** A scenario with its defaults in place and every time in whole minutes from its start. Indices are list positions. */
export interface Problem {
  readonly title: string;
  readonly clock: Clock;
  /** Length, min. */
  readonly horizon: number;
  readonly baths: readonly string[];
  readonly patients: readonly Course[];
  readonly machines: readonly Machine[];
  readonly water: readonly WaterSource[];
  readonly shifts: readonly ShiftBand[];
  /** Technicians on shift in each minute of the horizon. */
  readonly staff: Int16Array;
  /** Stock, then deliveries, in the file's order. */
  readonly lots: readonly Lot[];
  readonly supplies: readonly Supply[];
  readonly rounds: readonly Round[];
  readonly rules: Rules;
  /** Volumes of bags are whole numbers of 1/partsPerLitre litre. */
  readonly partsPerLitre: number;
  /** Parts that one bag of need counts (fillLitres). */
  readonly bagParts: number;
  /** Bags wanted at the end, by bath. */
  readonly reserve: readonly number[];
  /** What begins there and then does not count once it is done; local times. */
  readonly lost: readonly LostRow[];
}

const MINUTE = whole(60);
const minutes = (hours: number): number => toNumber(multiply(decimal(hours), MINUTE));

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
function knownCourse(
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

/** The rounds: an opening one at the start, then each listed time of day whose lead ends before the horizon does. */
export function roundsOf(
  times: readonly string[],
  leadMinutes: number,
  clock: Clock,
  horizon: number,
): Round[] {
  const at = new Set<number>();
  for (const date of clock.datesOf(0, horizon))
    for (const time of times) {
      const minute = clock.minuteOf(`${date}T${time}`);
      if (minute >= 0 && minute + leadMinutes < horizon) at.add(minute);
    }
  const starts = [...at].sort((a, b) => a - b);
  const from = [0, ...starts.map((minute) => minute + leadMinutes)];
  return [0, ...starts].map((minute, index) => ({
    index,
    at: minute,
    from: from[index]!,
    to: from[index + 1] ?? horizon,
  }));
}

type ShiftRow = Scenario['shifts'][number];
export const isOnDate = ({ dates }: Pick<ShiftRow, 'dates'>, date: string): boolean =>
  !dates || dates.includes(date);

/** Minutes from..to of a shift that begins on a date; it runs past midnight where its `to` is not after its `from`. */
export const shiftSpan = (
  clock: Clock,
  { from, to }: Pick<ShiftRow, 'from' | 'to'>,
  date: string,
): { readonly from: number; readonly to: number } => ({
  from: clock.minuteOf(`${date}T${from}`),
  to: clock.minuteOf(`${to > from ? date : nextDate(date, 1)}T${to}`),
});

/** Each shift on each date it begins on, also the one that began the evening before the start. */
export function shiftBands(shifts: Scenario['shifts'], clock: Clock, horizon: number): ShiftBand[] {
  // Two days back: a shift of 24 h may last 25 h across a clock change.
  const dates = clock.datesOf(-2 * MINUTES_A_DAY, horizon);
  return shifts
    .flatMap((shift) =>
      dates
        .filter((date) => isOnDate(shift, date))
        .map((date) => ({
          shift: shift.id,
          ...shiftSpan(clock, shift, date),
          technicians: shift.technicians,
        })),
    )
    .filter((band) => band.to > 0 && band.from < horizon && band.to > band.from)
    .sort((a, b) => a.from - b.from);
}

function supplyOf(
  row: NonNullable<Scenario['supplies']>[number],
  machines: readonly Machine[],
  clock: Clock,
  bathNumber: ReadonlyMap<string, number>,
): Supply {
  const flowPlaces = Math.max(0, ...machines.map((machine) => places(machine.flow)));
  const used = [row.onHand, row.perCircuit ?? 0, row.perFill ?? 0];
  const delivered = row.deliveries ?? [];
  const exponent = Math.max(
    ...used.map(places),
    ...delivered.map((d) => places(d.quantity)),
    row.perLitre ? places(row.perLitre) + flowPlaces + 3 : 0,
  );
  const scale = 10 ** exponent;
  return {
    item: row.item,
    scale,
    onHand: scaled(row.onHand, scale),
    perCircuit: scaled(row.perCircuit ?? 0, scale),
    perFill: scaled(row.perFill ?? 0, scale),
    perMinute: machines.map(({ flow }) => {
      const litres = divide(decimal(flow), whole(1000));
      return floor(multiply(multiply(decimal(row.perLitre ?? 0), litres), whole(scale)));
    }),
    bath: row.bath == null ? null : bathNumber.get(row.bath)!,
    deliveries: delivered
      .map((d) => ({ at: clock.minuteOf(d.at), quantity: scaled(d.quantity, scale) }))
      .sort((a, b) => a.at - b.at),
  };
}

/**
 * A scenario without error faults (see `faults.ts`) as numbers that the demand, the planner and the audit share.
 * Cheap enough to run on every keystroke.
 */
export function compile(scenario: Scenario): Problem {
  const clock = makeClock(scenario.timeZone, scenario.start);
  const horizon = scenario.days * MINUTES_A_DAY;
  const given = scenario.rules ?? {};
  const rule = (name: Exclude<keyof typeof DEFAULT_RULES, 'rounds'>): number =>
    given[name] ?? DEFAULT_RULES[name];
  const baths = scenario.baths.map((bath) => bath.id);
  const bathNumber = new Map(baths.map((id, index) => [id, index]));
  const waterNumber = new Map(scenario.water.map((source, index) => [source.id, index]));
  const fillLitres = rule('fillLitres');
  const lotRows = [
    ...(scenario.stock ?? []).map((row) => ({ row, origin: 'stock' as const })),
    ...(scenario.deliveries ?? []).map((row) => ({ row, origin: 'delivery' as const })),
  ];
  const partsPerLitre = 10 ** Math.max(places(fillLitres), ...lotRows.map(({ row }) => places(row.litres)));

  const window = (row: { from: string; to: string }) => ({
    from: Math.max(0, clock.minuteOf(row.from)),
    to: Math.min(horizon, clock.minuteOf(row.to)),
  });
  const machines: Machine[] = scenario.machines.map((row) => {
    const minutesFor = (litres: number) =>
      divide(multiply(whole(1000 * row.positions), decimal(litres)), decimal(row.flow));
    return {
      id: row.id,
      flow: row.flow,
      positions: row.positions,
      baths: row.baths ? row.baths.map((id) => bathNumber.get(id)!) : baths.map((_, index) => index),
      water: waterNumber.get(row.water)!,
      windows: (row.available ? row.available.map(window) : [{ from: 0, to: horizon }])
        .filter(({ from, to }) => to > from)
        .sort((a, b) => a.from - b.from),
      loaded: row.loaded
        ? { bath: bathNumber.get(row.loaded.bath)!, since: clock.minuteOf(row.loaded.circuitSince) }
        : null,
      shortest: ceil(minutesFor(fillLitres)),
      longest: floor(minutesFor(rule('maxLitres'))),
    };
  });

  const courseKey = JSON.stringify([scenario.timeZone, scenario.start, horizon, baths]);
  const shifts = shiftBands(scenario.shifts, clock, horizon);
  const staff = new Int16Array(horizon);
  for (const { from, to, technicians } of shifts)
    for (let t = Math.max(0, from); t < Math.min(horizon, to); t++) staff[t]! += technicians;

  return {
    title: scenario.title,
    clock,
    horizon,
    baths,
    patients: scenario.patients.map((row) => knownCourse(row, clock, bathNumber, horizon, courseKey)),
    machines,
    water: scenario.water.map((row) => ({
      id: row.id,
      capacity: row.capacity,
      testEvery: row.testEvery,
      testMinutes: row.testMinutes,
      lastTest: row.lastTest ? clock.minuteOf(row.lastTest) : null,
    })),
    shifts,
    staff,
    lots: lotRows.map(({ row, origin }) => ({
      id: row.lot,
      origin,
      bath: bathNumber.get(row.bath)!,
      bags: row.bags,
      bagParts: scaled(row.litres, partsPerLitre),
      ready: row.ready ? clock.minuteOf(row.ready) : Number.NEGATIVE_INFINITY,
      expires: row.expires ? clock.minuteOf(row.expires) : Number.POSITIVE_INFINITY,
    })),
    supplies: (scenario.supplies ?? []).map((row) => supplyOf(row, machines, clock, bathNumber)),
    rounds: roundsOf(given.rounds ?? DEFAULT_RULES.rounds, rule('leadMinutes'), clock, horizon),
    rules: {
      bagMl: multiply(decimal(fillLitres), whole(1000)),
      fillLitres,
      maxLitres: rule('maxLitres'),
      circuitLife: minutes(rule('circuitHours')),
      shelf: minutes(rule('shelfHours')),
      bathMinutes: rule('stabiliseMinutes') + rule('sampleMinutes'),
      stabiliseMinutes: rule('stabiliseMinutes'),
      sampleMinutes: rule('sampleMinutes'),
      swapMinutes: rule('swapMinutes'),
      circuitMinutes: rule('circuitMinutes'),
      releaseMinutes: rule('releaseMinutes'),
      leadMinutes: rule('leadMinutes'),
      maxHang: multiply(decimal(rule('maxHangHours')), MINUTE),
    },
    partsPerLitre,
    bagParts: scaled(fillLitres, partsPerLitre),
    reserve: baths.map((id) => given.reserve?.[id] ?? 0),
    lost: scenario.lost ?? [],
  };
}
