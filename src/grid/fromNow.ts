import type { Patient, Scenario } from '../scenario/schema.ts';
import type { Recipe } from './history.ts';
import { FIELDS, type PrescriptionChange, prescribedAt, rowsAfter } from './prescriptions.ts';

const hasBegun = (patient: Patient, { start }: Scenario, now: string): boolean =>
  (patient.from ?? start) < now;

/**
 * Whether an act changes what was prescribed from the start of a therapy that has begun: then bags that hung already would
 * count by what nobody had prescribed. A later prescription with a time of its own does not.
 * @param now local time
 */
export const reachesBack = (changes: readonly PrescriptionChange[], before: Scenario, now: string): boolean =>
  changes.some(
    ({ patient, from, shared }) =>
      from === null && !shared && hasBegun(before.patients[patient]!, before, now),
  );

/** The same act from `now` on: what was prescribed before stays, and a bed that is taken out ends now. @param now local time */
export const fromNowOn =
  (recipe: Recipe, before: Scenario, now: string): Recipe =>
  (draft) => {
    recipe(draft);
    const rows = rowsAfter(before, draft);
    const gone: { index: number; patient: Patient }[] = [];
    before.patients.forEach((patient, index) => {
      if (!hasBegun(patient, before, now)) return;
      const after = draft.patients[rows[index]!];
      if (after) putOff({ before, patient }, { draft, after }, now);
      else gone.push({ index, patient });
    });
    for (const { index, patient } of gone) {
      const ended = patient.until && patient.until < now ? patient : { ...patient, until: now };
      draft.patients.splice(Math.min(index, draft.patients.length), 0, ended);
    }
  };

/** What the act changed in a bed's own row becomes a later prescription. */
function putOff(
  { before, patient }: { readonly before: Scenario; readonly patient: Patient },
  { draft, after }: { readonly draft: Scenario; readonly after: Patient },
  now: string,
): void {
  const edited = FIELDS.filter((field) => patient[field] !== after[field]);
  if (edited.length === 0) return;
  const [was, is] = [prescribedAt(before, patient, now), prescribedAt(draft, after, now)];
  const fresh = edited.filter((field) => was[field] !== is[field] && is[field] !== undefined);
  for (const field of edited) Object.assign(after, { [field]: patient[field] });
  Object.assign(after, { typed: patient.typed });
  if (fresh.length === 0) return;
  const change = Object.fromEntries(fresh.map((field) => [field, is[field]]));
  after.changes = [...(after.changes ?? []), { at: now, ...change }];
}
