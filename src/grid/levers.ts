import { type Demand, demandOf } from '../demand/demand.ts';
import { compile } from '../scenario/problem/compile.ts';
import { MINUTES_A_DAY, type Problem } from '../scenario/problem/types.ts';
import type { Patient, Scenario } from '../scenario/schema.ts';
import type { Recipe } from './history.ts';
import { writeAt } from './sheet.ts';

/** A way to need less: nothing is prescribed here, it shows what a prescriber's decision would save. */
export type Lever =
  | { readonly kind: 'dose' /** mL/kg/h at most */; readonly most: number }
  | { readonly kind: 'hours' /** therapy hours in 24 h at most */; readonly most: number }
  | { readonly kind: 'bath' /** the one bath for all */; readonly bath: string };

interface Saving {
  /** Bags a day that are needed less; below 0: more. */
  readonly bagsADay: number;
  readonly litresADay: number;
  /** Patients whose prescription, now or later, it changes. */
  readonly patients: number;
}

type Values = Record<string, unknown>;
const put = (row: Values, key: string, value: unknown): void => {
  row[key] = value;
  writeAt(row, ['typed', key], undefined);
};

function pull(row: Values, lever: Lever, first: boolean): boolean {
  if (lever.kind === 'bath') {
    if (row.bath == null || row.bath === lever.bath) return false;
    put(row, 'bath', lever.bath);
    return true;
  }
  const key = lever.kind === 'dose' ? 'dose' : 'hoursPerDay';
  const value = row[key] ?? (first && lever.kind === 'hours' ? 24 : undefined);
  if (typeof value !== 'number' || value <= lever.most) return false;
  put(row, key, lever.most);
  return true;
}

const rowsOf = (patient: Patient): Values[] => [patient, ...(patient.changes ?? [])] as Values[];

/** Pulls a lever on every patient, later prescriptions included. */
export const pulled =
  (lever: Lever): Recipe =>
  (draft) => {
    for (const patient of draft.patients)
      rowsOf(patient).forEach((row, index) => {
        pull(row, lever, index === 0);
      });
  };

const countOf = ({ bags }: Demand): number => bags.flat().reduce((sum, count) => sum + count, 0);

/**
 * What a lever would save, as a mean over the days of the horizon.
 * @param scenario without error faults; `problem` and `demand` are its own
 */
export function savingOf(scenario: Scenario, problem: Problem, demand: Demand, lever: Lever): Saving {
  let patients = 0;
  const after = scenario.patients.map((patient) => {
    const copy = { ...patient, changes: patient.changes?.map((change) => ({ ...change })), typed: undefined };
    let changed = false;
    rowsOf(copy).forEach((row, index) => {
      changed = pull(row, lever, index === 0) || changed;
    });
    if (!changed) return patient;
    patients += 1;
    return copy;
  });
  const less =
    patients === 0 ? 0 : countOf(demand) - countOf(demandOf(compile({ ...scenario, patients: after })));
  const bagsADay = less / (problem.horizon / MINUTES_A_DAY);
  return { bagsADay, litresADay: bagsADay * problem.rules.fillLitres, patients };
}
