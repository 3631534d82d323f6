import type { Patient, PrescriptionChange, Scenario, SubstituteRow } from './schema.ts';

/** Changes of the prescriptions that somebody who may prescribe could decide; the tool decides none. */

/** No prescription of a field above a cap, of listed patients, now and later. */
export function capped(
  scenario: Scenario,
  field: 'dose' | 'hoursPerDay',
  { cap, otherwise }: { readonly cap: number; readonly otherwise: number },
): Scenario {
  const change = (row: PrescriptionChange) =>
    row[field] == null ? row : { ...row, [field]: Math.min(row[field], cap) };
  return {
    ...scenario,
    patients: scenario.patients.map((row) => ({
      ...row,
      [field]: Math.min(row[field] ?? otherwise, cap),
      ...(row.changes && { changes: row.changes.map(change) }),
    })),
  };
}

/** Nobody is prescribed more than so many mL/kg/h. */
export const dosesAtMost = (scenario: Scenario, cap: number): Scenario =>
  capped(scenario, 'dose', { cap, otherwise: cap });

/** Nobody runs for more than so many hours in 24; of sessions each is as much shorter. */
export function hoursAtMost(scenario: Scenario, cap: number): Scenario {
  const shorter = (row: Patient) => ({
    ...row,
    session: row.session ? { ...row.session, hours: Math.min(row.session.hours, cap) } : row.session,
  });
  const [inSessions, others] = [
    scenario.patients.map(shorter),
    capped(scenario, 'hoursPerDay', { cap, otherwise: 24 }),
  ];
  return {
    ...scenario,
    patients: inSessions.map((row, index) => (row.session ? row : others.patients[index]!)),
  };
}

/**
 * The approved substitute in place of its bath, between its dates, for all beds that it does not exclude. Local times
 * compare as they are written.
 */
export const substituted = (scenario: Scenario, row: SubstituteRow): Scenario => ({
  ...scenario,
  patients: scenario.patients.map((patient) =>
    row.except?.includes(patient.id) ? patient : withSubstitute(patient, row, scenario.start),
  ),
});

function withSubstitute(patient: Patient, { bath, by, from, until }: SubstituteRow, start: string): Patient {
  const within = (at: string) => (from == null || from <= at) && (until == null || at < until);
  const other = (at: string, own: string) => (own === bath && within(at) ? by : own);
  const begins = patient.from != null && patient.from > start ? patient.from : start;
  const changes = [...(patient.changes ?? [])].sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
  /** What is prescribed at a time, as typed. */
  const bathAt = (at: string) =>
    changes.findLast((one) => one.bath != null && one.at <= at)?.bath ?? patient.bath;
  const turns = [
    ...(from != null && from > begins && bathAt(from) === bath
      ? [{ at: from, bath: other(from, bath) }]
      : []),
    ...(until != null && until > begins && bathAt(until) === bath ? [{ at: until, bath }] : []),
  ];
  const told = changes.map((one) => (one.bath == null ? one : { ...one, bath: other(one.at, one.bath) }));
  const all = [...told, ...turns].sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
  return {
    ...patient,
    bath: other(begins, patient.bath),
    ...(all.length > 0 ? { changes: all } : {}),
  };
}
