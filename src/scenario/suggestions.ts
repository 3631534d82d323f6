import { nextDate, TIME_OF_DAY } from '../calendar/clock.ts';
import { ceil, decimal, divide, multiply, whole } from '../exact/fraction.ts';
import { citrateInEffluent, dialysateRate } from './problem/course.ts';
import { fillWindow } from './problem/machines.ts';
import { DEFAULT_RULES, doseMeansOf } from './problem/rules.ts';
import { MINUTES_A_DAY } from './problem/types.ts';
import type { DutyRow, MachineRow, Scenario, ShiftRow } from './schema.ts';

/** Something that a site may want in its scenario and that is not there. Nothing is taken up by itself. */
interface Suggestion {
  readonly id: 'minimum stock' | 'flow tolerance' | 'breaks' | 'disinfection';
  /** What would be done, in a sentence. */
  readonly what: string;
  /** Why, in a sentence. */
  readonly why: string;
  /** The scenario with it; the one given stays as it is. */
  readonly apply: (scenario: Scenario) => Scenario;
}

const litresOf = ({ rules }: Scenario) => ({
  least: rules?.fillLitres ?? DEFAULT_RULES.fillLitres,
  most: rules?.maxLitres ?? DEFAULT_RULES.maxLitres,
});

/** Bags that one patient on each bath uses in 24 h: of those listed with it the one who uses most, rounded up. */
function patientDay(scenario: Scenario): Record<string, number> {
  const bagMl = multiply(decimal(litresOf(scenario).least), whole(1000));
  const bags: Record<string, number> = {};
  for (const patient of scenario.patients)
    for (const { bath } of [patient, ...(patient.changes ?? [])]) {
      if (bath == null) continue;
      const { dose, weight, fluidRemoval, replacement, hoursPerDay } = patient;
      const rate = dialysateRate(
        {
          dose,
          weight,
          fluidRemoval: fluidRemoval ?? 0,
          replacement: replacement ?? 0,
          citrate: citrateInEffluent(patient),
          hoursPerDay: patient.session?.hours ?? hoursPerDay ?? 24,
        },
        doseMeansOf(scenario),
      );
      const day = ceil(divide(multiply(rate, whole(MINUTES_A_DAY)), bagMl));
      bags[bath] = Math.max(bags[bath] ?? 0, day);
    }
  return bags;
}

/** Site assumptions, the widest first: the one taken is the first with which a fill still has 3 whole minutes to end in. */
const TOLERANCES = [0.05, 0.04, 0.03, 0.02, 0.01];
function toleranceOf(row: MachineRow, scenario: Scenario): number | undefined {
  return TOLERANCES.find((flowTolerance) => {
    const { shortest, longest } = fillWindow({ ...row, flowTolerance }, litresOf(scenario));
    return longest - shortest >= 2;
  });
}

/** Site assumptions. */
const BREAK = { minutes: 30, slackMinutes: 90 };
const DISINFECTION = { minutes: 45, slackMinutes: 180 };

const timeOf = (minutes: number): string => {
  const inDay = ((minutes % MINUTES_A_DAY) + MINUTES_A_DAY) % MINUTES_A_DAY;
  return `${String(Math.floor(inDay / 60)).padStart(2, '0')}:${String(inDay % 60).padStart(2, '0')}`;
};
const minuteOf = (time: string): number => 60 * Number(time.slice(0, 2)) + Number(time.slice(3));

/** A break for each technician of a shift, one after the other from a little before its middle on. */
function breaksOf({ id, from, to, technicians, dates }: ShiftRow): DutyRow[] {
  if (!TIME_OF_DAY.test(from) || !TIME_OF_DAY.test(to)) return [];
  const begin = minuteOf(from);
  const length = minuteOf(to) - begin + (to > from ? 0 : MINUTES_A_DAY);
  // A shift of less than 6 h has none (site assumption).
  if (length < 360) return [];
  return Array.from({ length: technicians }, (_, index): DutyRow => {
    const at = begin + Math.floor(length / 2) - 60 + index * BREAK.minutes;
    const isNextDay = at >= MINUTES_A_DAY;
    return {
      id: technicians > 1 ? `Break ${id} ${index + 1}` : `Break ${id}`,
      times: [timeOf(at)],
      ...BREAK,
      technicians: 1,
      ...(dates && { dates: isNextDay ? dates.map((date) => nextDate(date, 1)) : dates }),
    };
  });
}

const withDuties = (scenario: Scenario, duties: readonly DutyRow[]): Scenario => ({
  ...scenario,
  duties: [...(scenario.duties ?? []), ...duties],
});

/** A daily disinfection of each machine, in the small hours, one machine an hour. */
const disinfectionsOf = ({ machines }: Scenario): DutyRow[] =>
  machines.map(({ id }, index) => ({
    id: `Disinfect ${id}`,
    place: id,
    times: [timeOf(60 * (1 + (index % 5)))],
    ...DISINFECTION,
    technicians: 0,
    endsCircuit: true,
  }));

/**
 * What this scenario may want and does not have, each with one sentence why. A site decides; what is there already is
 * suggested no more. The numbers are site assumptions to start from. For scenarios without error faults.
 */
export function suggestionsFor(scenario: Scenario): Suggestion[] {
  const { machines, rules } = scenario;
  const duties = scenario.duties ?? [];
  const list: Suggestion[] = [];
  const bags = patientDay(scenario);
  if (rules?.minStock == null && Object.values(bags).some((count) => count > 0))
    list.push({
      id: 'minimum stock',
      what: `Keep one patient-day of each bath in stock: ${Object.entries(bags)
        .map(([bath, count]) => `${bath} ${count}`)
        .join(', ')} bags.`,
      why: 'A new patient or a lost fill then leaves nobody without bags.',
      apply: (before) => ({ ...before, rules: { ...before.rules, minStock: bags } }),
    });
  if (
    !machines.some(({ flowTolerance }) => flowTolerance != null) &&
    machines.some((row) => toleranceOf(row, scenario))
  )
    list.push({
      id: 'flow tolerance',
      what: 'Plan for machines whose flow is a little off, up to 5 %.',
      why: 'A flow below the one typed leaves bags short of the minimum fill volume.',
      apply: (before) => ({
        ...before,
        machines: before.machines.map((row) => {
          const flowTolerance = toleranceOf(row, before);
          return flowTolerance === undefined ? row : { ...row, flowTolerance };
        }),
      }),
    });
  const breaks = scenario.shifts.flatMap(breaksOf);
  if (breaks.length > 0 && !duties.some(({ place }) => place == null))
    list.push({
      id: 'breaks',
      what: 'Plan a break of 30 min for each technician of a shift.',
      why: 'Without breaks the plan counts on people who are not there.',
      apply: (before) => withDuties(before, before.shifts.flatMap(breaksOf)),
    });
  if (machines.length > 0 && !duties.some(({ place }) => machines.some(({ id }) => id === place)))
    list.push({
      id: 'disinfection',
      what: 'Plan a daily disinfection of each machine, 45 min.',
      why: 'A machine fills nothing meanwhile and needs a new circuit afterwards.',
      apply: (before) => withDuties(before, disinfectionsOf(before)),
    });
  return list;
}
