import { nextDate, TIME_OF_DAY } from '../calendar/clock.ts';
import { ceil, decimal, divide, multiply, whole } from '../exact/fraction.ts';
import { citrateInEffluent, dialysateRate } from './problem/course.ts';
import { fillWindow } from './problem/machines.ts';
import { DEFAULT_RULES, doseMeansOf } from './problem/rules.ts';
import { MINUTES_A_DAY } from './problem/types.ts';
import type { DutyRow, MachineRow, Scenario, ShiftRow } from './schema.ts';

type SuggestionId =
  | 'shelf life'
  | 'minimum stock'
  | 'flow tolerance'
  | 'breaks'
  | 'machine disinfection'
  | 'water disinfection';

/** Something that a site may want in its scenario and that is not there. Nothing is taken up by itself. */
export interface Suggestion {
  readonly id: SuggestionId;
  /** What would be done, in a sentence. */
  readonly what: string;
  /** Why, in a sentence. */
  readonly why: string;
  /** What would stand in the sheets, a line for each row or value. */
  readonly preview: readonly string[];
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
const WATER_DISINFECTION = { minutes: 60, slackMinutes: 120 };

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

/** Those duties beside the ones there are, under names that are free. */
function withDuties(scenario: Scenario, duties: readonly DutyRow[]): Scenario {
  const all = [...(scenario.duties ?? [])];
  for (const duty of duties) {
    let id = duty.id;
    for (let n = 2; all.some((other) => other.id === id); n++) id = `${duty.id} (${n})`;
    all.push({ ...duty, id });
  }
  return { ...scenario, duties: all };
}

/** A daily disinfection of each machine, in the small hours, one machine an hour. */
const machineDisinfections = ({ machines }: Scenario): DutyRow[] =>
  machines.map(({ id }, index) => ({
    id: `Disinfect ${id}`,
    place: id,
    times: [timeOf(60 * (1 + (index % 5)))],
    ...DISINFECTION,
    technicians: 0,
    endsCircuit: true,
  }));

/** A daily disinfection of each water source, in the small hours, one source an hour. */
const waterDisinfections = ({ water }: Scenario): DutyRow[] =>
  water.map(({ id }, index) => ({
    id: `Disinfect ${id}`,
    place: id,
    times: [timeOf(60 * (3 + (index % 3)))],
    ...WATER_DISINFECTION,
    technicians: 0,
    voidsTests: true,
  }));

/** 'Break day 1: due at 12:00, takes 30 min, may begin up to 90 min later, 1 technician.' */
function dutyText({ id, times, minutes, slackMinutes, technicians, dates }: DutyRow): string {
  const people =
    technicians == null || technicians === 0
      ? 'no technician'
      : `${technicians} ${technicians === 1 ? 'technician' : 'technicians'}`;
  const days = dates ? `only on ${dates.join(', ')}` : 'every day';
  return `${id}: ${days}, due at ${times.join(', ')}, takes ${minutes} min, may begin up to ${slackMinutes ?? 0} min later, ${people}.`;
}

/** A suggestion of duties; null where there are none to suggest. */
function ofDuties(
  told: Pick<Suggestion, 'id' | 'what' | 'why'>,
  scenario: Scenario,
  make: (scenario: Scenario) => DutyRow[],
): Suggestion | null {
  const duties = make(scenario);
  if (duties.length === 0) return null;
  return { ...told, preview: duties.map(dutyText), apply: (before) => withDuties(before, make(before)) };
}

/** h; published tests of stored fluid end there: BMC Nephrol 2023;24, DOI 10.1186/s12882-023-03260-9, Table 1. */
const TESTED_HOURS = 48;

const shelfLife = ({ rules }: Scenario): Suggestion | null =>
  rules?.shelfHours != null
    ? null
    : {
        id: 'shelf life',
        what: "Type how long a filled bag keeps by your site's own procedure.",
        why: `Published tests of stored fluid end at ${TESTED_HOURS} h; without your number the plan counts ${DEFAULT_RULES.shelfHours} h.`,
        preview: [
          `Shelf life: ${TESTED_HOURS} h. BMC Nephrol 2023;24, DOI 10.1186/s12882-023-03260-9, Table 1.`,
        ],
        apply: (before) => ({ ...before, rules: { ...before.rules, shelfHours: TESTED_HOURS } }),
      };

function minimumStock(scenario: Scenario): Suggestion | null {
  const bags = patientDay(scenario);
  if (scenario.rules?.minStock != null || !Object.values(bags).some((count) => count > 0)) return null;
  return {
    id: 'minimum stock',
    what: 'Keep one patient-day of each bath in stock after every bag round.',
    why: 'A new patient or a lost fill then leaves nobody without bags.',
    preview: Object.entries(bags).map(([bath, count]) => `Minimum stock of ${bath}: ${count} bags.`),
    apply: (before) => ({ ...before, rules: { ...before.rules, minStock: bags } }),
  };
}

function flowTolerances(scenario: Scenario): Suggestion | null {
  const { machines } = scenario;
  if (machines.some(({ flowTolerance }) => flowTolerance != null)) return null;
  const preview = machines.flatMap((row) => {
    const flowTolerance = toleranceOf(row, scenario);
    if (flowTolerance === undefined) return [];
    const window = (of: MachineRow) => {
      const { shortest, longest } = fillWindow(of, litresOf(scenario));
      return `${shortest} to ${longest} min`;
    };
    return `${row.id}: flow tolerance ${flowTolerance}; a fill takes ${window({ ...row, flowTolerance })} instead of ${window(row)}.`;
  });
  if (preview.length === 0) return null;
  return {
    id: 'flow tolerance',
    what: 'Plan for machines whose flow is a little off, up to 5 %.',
    why: 'A flow below the one typed leaves bags short of the minimum fill volume.',
    preview,
    apply: (before) => ({
      ...before,
      machines: before.machines.map((row) => {
        const flowTolerance = toleranceOf(row, before);
        return flowTolerance === undefined ? row : { ...row, flowTolerance };
      }),
    }),
  };
}

/**
 * What this scenario may want and does not have, each with one sentence why. A site decides; what is there already, and
 * what the site has declined, is suggested no more. The numbers are site assumptions to start from, except where a source
 * is named. For scenarios without error faults.
 */
export function suggestionsFor(scenario: Scenario): Suggestion[] {
  const placed = new Set((scenario.duties ?? []).map(({ place }) => place ?? ''));
  const isFree = (list: readonly { readonly id: string }[]) => !list.some(({ id }) => placed.has(id));
  const all = [
    shelfLife(scenario),
    minimumStock(scenario),
    flowTolerances(scenario),
    placed.has('')
      ? null
      : ofDuties(
          {
            id: 'breaks',
            what: `Plan a break of ${BREAK.minutes} min for each technician of a shift.`,
            why: 'Without breaks the plan counts on people who are not there.',
          },
          scenario,
          ({ shifts }) => shifts.flatMap(breaksOf),
        ),
    isFree(scenario.machines)
      ? ofDuties(
          {
            id: 'machine disinfection',
            what: `Plan a daily disinfection of each machine, ${DISINFECTION.minutes} min.`,
            why: 'A machine fills nothing meanwhile and needs a new circuit afterwards.',
          },
          scenario,
          machineDisinfections,
        )
      : null,
    isFree(scenario.water)
      ? ofDuties(
          {
            id: 'water disinfection',
            what: `Plan a daily disinfection of each water source, ${WATER_DISINFECTION.minutes} min.`,
            why: 'No machine fills meanwhile, and the water needs a new total chlorine test afterwards.',
          },
          scenario,
          waterDisinfections,
        )
      : null,
  ];
  const declined = new Set(scenario.declined ?? []);
  return all.filter((one) => one !== null).filter(({ id }) => !declined.has(id));
}

/** The scenario in which a suggestion is not made again. */
export const declining = (scenario: Scenario, id: SuggestionId): Scenario => ({
  ...scenario,
  declined: [...(scenario.declined ?? []).filter((other) => other !== id), id],
});
