import type { Patient, Scenario } from '../scenario/schema.ts';
import { numberText } from '../words/numbers.ts';
import type { Recipe } from './history.ts';
import { renames } from './renamed.ts';

/** What is prescribed for a bed from some time on, as far as it is typed, and what follows from it. */
export interface Prescribed {
  readonly dose?: number; // mL/kg/h
  readonly weight?: number; // kg
  readonly fluidRemoval: number; // mL/h
  readonly replacement: number; // mL/h
  readonly hoursPerDay?: number; // h
  readonly bath?: string;
  readonly anticoagulation?: string;
  /** Citrate solution that counts into the effluent, mL/h. */
  readonly citrateFlow?: number;
  /** mmol/L in its bath */
  readonly potassium?: number;
  /** mEq/L in its bath */
  readonly calcium?: number;
  /** mL/kg/h over elapsed time: dose x hours / 24 */
  readonly delivered?: number;
}
/** One bed whose prescription an act changes, from one time on. */
export interface PrescriptionChange {
  /** Of its row before the act, from 0. */
  readonly patient: number;
  readonly bed: string;
  /** Local time; null: from the start. */
  readonly from: string | null;
  readonly before: Prescribed;
  /** null: the bed is taken out of the list. */
  readonly after: Prescribed | null;
  /** What a prescriber should look at again. A caution, never a decision. */
  readonly risks: readonly string[];
  /** The bath itself is changed, for all beds on it: this one cannot be left out alone. */
  readonly shared: boolean;
}

/** mL/kg/h delivered, the lower end of what is usual: KDIGO 2012, recommendation 5.8.4 (20 to 25). */
const LEAST_USUAL = 20;
/** Fields of a bed's row that a later prescription may change. */
export const FIELDS = [
  'dose',
  'weight',
  'fluidRemoval',
  'replacement',
  'hoursPerDay',
  'bath',
  'anticoagulation',
  'citrateFlow',
] as const;
const ALL = [...FIELDS, 'potassium', 'calcium'] as const;

type Typed = Readonly<Record<string, unknown>>;
const numberOf = (value: unknown): number | undefined => (typeof value === 'number' ? value : undefined);

/** What holds at a time: the bed's own row, then each change that is due, in the order of the list. */
export function prescribedAt(scenario: Scenario, patient: Patient, at: string | null): Prescribed {
  const rows = [patient, ...(patient.changes ?? []).filter((change) => at !== null && change.at <= at)];
  const typed: Record<string, unknown> = {};
  for (const row of rows as readonly Typed[])
    for (const key of FIELDS) if (row[key] != null) typed[key] = row[key];
  const bath = scenario.baths.find(({ id }) => id === typed.bath);
  const dose = numberOf(typed.dose);
  const hoursPerDay = numberOf(typed.hoursPerDay ?? 24);
  return {
    dose,
    weight: numberOf(typed.weight),
    fluidRemoval: numberOf(typed.fluidRemoval) ?? 0,
    replacement: numberOf(typed.replacement) ?? 0,
    hoursPerDay,
    bath: typed.bath === undefined ? undefined : String(typed.bath),
    anticoagulation: typed.anticoagulation === undefined ? undefined : String(typed.anticoagulation),
    citrateFlow: numberOf(typed.citrateFlow),
    potassium: numberOf(bath?.potassium),
    calcium: numberOf(bath?.calcium),
    delivered: dose !== undefined && hoursPerDay !== undefined ? (dose * hoursPerDay) / 24 : undefined,
  };
}

const isWhole = ({ dose, weight, bath }: Prescribed): boolean =>
  dose !== undefined && weight !== undefined && bath !== undefined;

/** Potassium of the bath changes, or is no longer known. */
function potassiumRisk(before: Prescribed, after: Prescribed): string | null {
  if (after.potassium === before.potassium) return null;
  if (after.potassium === undefined) return 'potassium is not typed';
  const from = before.potassium === undefined ? '?' : numberText(before.potassium, 3);
  return `potassium ${from} → ${numberText(after.potassium, 3)} mmol/L`;
}

/** Citrate takes calcium away at the filter: a calcium-free bath belongs with it, and only with it. */
function calciumRisk({ calcium, anticoagulation }: Prescribed): string | null {
  const citrate = anticoagulation === 'citrate';
  if (calcium === 0 && !citrate) return 'CALCIUM-FREE without citrate';
  if (citrate && calcium !== undefined && calcium > 0) return 'citrate with calcium in the bath';
  return null;
}

function doseRisk({ dose, delivered }: Prescribed): string | null {
  if (dose === undefined) return 'no dose';
  if (delivered === undefined || delivered >= LEAST_USUAL) return null;
  return `delivered ${numberText(delivered)} mL/kg/h: below the usual 20 to 25`;
}

/** What a prescriber should look at again in a changed prescription, the worst first. */
const risksOf = (before: Prescribed, after: Prescribed): string[] =>
  [calciumRisk(after), potassiumRisk(before, after), doseRisk(after)].filter((risk) => risk !== null);

/** Before's row -> after's row: by label, else, where neither label is known on the other side, by place. -1: it is gone. */
export function rowsAfter(before: Scenario, after: Pick<Scenario, 'patients'>): number[] {
  const now = new Map(after.patients.map(({ id }, index) => [id, index]));
  const old = new Set(before.patients.map(({ id }) => id));
  return before.patients.map(({ id }, index) => {
    // Its own place first: two rows may bear one label while a person puts that right.
    if (after.patients[index]?.id === id) return index;
    const at = now.get(id);
    if (at !== undefined && before.patients[at]?.id !== id) return at;
    const there = after.patients[index];
    return there && !old.has(there.id) ? index : -1;
  });
}

const timesOf = (...patients: readonly Patient[]): (string | null)[] => [
  null,
  ...new Set(patients.flatMap(({ changes }) => (changes ?? []).flatMap(({ at }) => at ?? [])).sort()),
];

/** The times at which one bed's prescription differs, where what was prescribed before was whole; each once. */
function changesOfBed(
  before: { readonly scenario: Scenario; readonly patient: Patient },
  after: { readonly scenario: Scenario; readonly patient: Patient | null },
  names: ReadonlyMap<string, string>,
) {
  const same = (a: Prescribed, b: Prescribed) =>
    ALL.every((key) => (key === 'bath' ? (names.get(a.bath ?? '') ?? a.bath) === b.bath : a[key] === b[key]));
  const found: { from: string | null; before: Prescribed; after: Prescribed | null; shared: boolean }[] = [];
  for (const from of timesOf(before.patient, ...(after.patient ? [after.patient] : []))) {
    const was = prescribedAt(before.scenario, before.patient, from);
    const is = after.patient && prescribedAt(after.scenario, after.patient, from);
    if (!isWhole(was) || (is && same(was, is))) continue;
    const shared = before.patient === after.patient;
    const last = found.at(-1);
    const repeats = last && JSON.stringify([last.before, last.after]) === JSON.stringify([was, is]);
    if (!repeats) found.push({ from, before: was, after: is, shared });
  }
  return found;
}

/**
 * The prescriptions that an act changes: of beds listed before it, in their order. A bed that is new, or whose dose,
 * weight or bath was not typed yet, is no change; nor is a bath that is only called otherwise.
 */
export function prescriptionChanges(before: Scenario, after: Scenario): PrescriptionChange[] {
  if (before.patients === after.patients && before.baths === after.baths) return [];
  const names = renames(before.baths, after.baths);
  const sameBaths = before.baths === after.baths;
  return rowsAfter(before, after).flatMap((row, index) => {
    const patient = before.patients[index]!;
    const now = after.patients[row] ?? null;
    if (patient === now && sameBaths) return [];
    const changes = changesOfBed({ scenario: before, patient }, { scenario: after, patient: now }, names);
    return changes.map((one) => ({
      ...one,
      patient: index,
      bed: String(patient.id),
      risks: one.after ? risksOf(one.before, one.after) : [],
    }));
  });
}

export const bedsIn = (changes: readonly PrescriptionChange[]): number =>
  new Set(changes.map(({ patient }) => patient)).size;

/** An act that leaves some beds, by their rows before it, as they were. */
export const leavingOut =
  (recipe: Recipe, before: Scenario, patients: ReadonlySet<number>): Recipe =>
  (draft) => {
    recipe(draft);
    const rows = rowsAfter(before, draft);
    const gone: number[] = [];
    for (const index of patients) {
      if (rows[index]! >= 0) draft.patients[rows[index]!] = before.patients[index]!;
      else gone.push(index);
    }
    for (const index of gone.sort((a, b) => a - b))
      draft.patients.splice(Math.min(index, draft.patients.length), 0, before.patients[index]!);
  };
