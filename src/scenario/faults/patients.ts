import { limitsOf } from '../fields.ts';
import { citrateInEffluent } from '../problem/course.ts';
import { doseMeansOf } from '../problem/rules.ts';
import type { Patient, PrescriptionChange } from '../schema.ts';
import {
  error,
  type Fault,
  type FaultRule,
  type Ground,
  outside,
  placesOf,
  repeated,
  saying,
  warning,
} from './fault.ts';

type Prescription = Patient | PrescriptionChange;

/** A patient's row and each later prescription, with their paths. */
function* prescriptions(rows: readonly Patient[]): Generator<{ path: Fault['path']; row: Prescription }> {
  for (const [i, row] of rows.entries()) {
    yield { path: ['patients', i], row };
    for (const [j, change] of (row.changes ?? []).entries())
      yield { path: ['patients', i, 'changes', j], row: change };
  }
}

const limited = (field: 'dose' | 'weight' | 'hoursPerDay' | 'fluidRemoval' | 'replacement' | 'citrateFlow') =>
  function* ({ scenario }: Ground): Iterable<Fault> {
    for (const { path, row } of prescriptions(scenario.patients))
      yield* outside([...path, field], row[field], limitsOf(`patients[].${field}`));
  };

function* duplicatePatient({ scenario }: Ground): Iterable<Fault> {
  yield* repeated('patients', scenario.patients, 'id');
}

/** Removal and replacement use up the whole dose: no dialysate runs, which may be a slip of the pen. */
function* rateBelowZero({ scenario, minute }: Ground): Iterable<Fault> {
  if (doseMeansOf(scenario) === 'dialysate') return;
  for (const [i, patient] of scenario.patients.entries()) {
    const now = { ...patient };
    // As they apply: in order of time, those at one time in list order.
    const changes = (patient.changes ?? [])
      .map((change, j) => ({ change, j, at: minute(change.at) ?? 0 }))
      .sort((a, b) => a.at - b.at);
    for (const { change, j } of [{ change: null, j: -1 }, ...changes]) {
      now.dose = change?.dose ?? now.dose;
      now.weight = change?.weight ?? now.weight;
      now.fluidRemoval = change?.fluidRemoval ?? now.fluidRemoval;
      now.replacement = change?.replacement ?? now.replacement;
      now.anticoagulation = change?.anticoagulation ?? now.anticoagulation;
      now.citrateFlow = change?.citrateFlow ?? now.citrateFlow;
      const citrate = citrateInEffluent(now);
      const rate = now.dose * now.weight - (now.fluidRemoval ?? 0) - (now.replacement ?? 0) - citrate;
      // A dose or weight below 0 is told by its own rule.
      if (rate < -1e-6 && now.dose * now.weight >= 0)
        yield warning(
          change ? ['patients', i, 'changes', j] : ['patients', i],
          `dialysate rate is ${Number(rate.toFixed(3))} mL/h (dose x weight - net fluid removal - replacement fluid${citrate > 0 ? ' - citrate flow' : ''})`,
          'at least 0 mL/h; it is taken as 0, so no bag is hung',
        );
    }
  }
}

/** More decimals than a scale or a prescription has: exact arithmetic would drag them through every sum. */
function* tooManyDecimals({ scenario }: Ground): Iterable<Fault> {
  for (const { path, row } of prescriptions(scenario.patients))
    for (const field of [
      'dose',
      'weight',
      'hoursPerDay',
      'fluidRemoval',
      'replacement',
      'citrateFlow',
    ] as const) {
      const value = row[field];
      if (value != null && placesOf(value) > 9)
        yield error(
          [...path, field],
          saying([...path, field], `${value}, with more than 9 decimals`),
          'at most 9 decimals',
        );
    }
}

function* untilBeforeFrom({ scenario, minute }: Ground): Iterable<Fault> {
  for (const [i, { from, until }] of scenario.patients.entries()) {
    const end = minute(until);
    const start = minute(from) ?? (from == null ? minute(scenario.start) : null);
    if (start === null || end === null || end > start) continue;
    const path = ['patients', i, 'until'] as const;
    if (end === start || from == null)
      yield warning(path, `Until is ${until}, not after the therapy's start`, 'later; no bag is hung');
    else yield error(path, `Until is ${until}, before From (${from})`, `a time after ${from}`);
  }
}

function* therapyOutsidePlan({ scenario, minute, horizon }: Ground): Iterable<Fault> {
  for (const [i, { from, until }] of scenario.patients.entries()) {
    if ((minute(from) ?? Number.NEGATIVE_INFINITY) >= horizon)
      yield warning(
        ['patients', i, 'from'],
        `From is ${from}, at or after the plan's end`,
        'a time within the plan; no bag is hung',
      );
    if (from != null && (minute(until) ?? 1) <= 0)
      yield warning(
        ['patients', i, 'until'],
        `Until is ${until}, at or before the plan's start`,
        'a time within the plan; no bag is hung',
      );
  }
}

function* changeOutsideTherapy({ scenario, minute, horizon }: Ground): Iterable<Fault> {
  for (const [i, patient] of scenario.patients.entries()) {
    const start = Math.max(0, minute(patient.from) ?? 0);
    const end = Math.min(horizon, minute(patient.until) ?? horizon);
    for (const [j, change] of (patient.changes ?? []).entries()) {
      const at = minute(change.at);
      const path = ['patients', i, 'changes', j, 'at'];
      if (at !== null && at >= end)
        yield warning(
          path,
          `At is ${change.at}, when therapy or plan have ended`,
          'earlier; it changes nothing',
        );
      else if (at !== null && at < start)
        yield warning(
          path,
          `At is ${change.at}, before therapy or plan start`,
          'a time within both; it applies from the start',
        );
    }
  }
}

function* changeOfNothing({ scenario }: Ground): Iterable<Fault> {
  const fields = [
    'bath',
    'dose',
    'weight',
    'fluidRemoval',
    'replacement',
    'hoursPerDay',
    'anticoagulation',
    'citrateFlow',
  ] as const;
  for (const [i, patient] of scenario.patients.entries())
    for (const [j, change] of (patient.changes ?? []).entries())
      if (fields.every((field) => change[field] == null))
        yield warning(
          ['patients', i, 'changes', j],
          `the change at ${change.at} changes nothing`,
          `one or more of ${fields.join(', ')}`,
        );
}

const ANTICOAGULATION = ['none', 'heparin', 'citrate'];

function* anticoagulationUnknown({ scenario }: Ground): Iterable<Fault> {
  for (const { path, row } of prescriptions(scenario.patients))
    if (row.anticoagulation != null && !ANTICOAGULATION.includes(row.anticoagulation))
      yield error(
        [...path, 'anticoagulation'],
        `Anticoagulation is "${row.anticoagulation}"`,
        'none, heparin or citrate',
      );
}

/** A citrate flow that counts nowhere: the bed has no citrate, or the site's dose is the dialysate itself. */
function* citrateFlowUnread({ scenario }: Ground): Iterable<Fault> {
  const counts = doseMeansOf(scenario) === 'effluent';
  for (const [i, patient] of scenario.patients.entries()) {
    const now = { anticoagulation: patient.anticoagulation, citrateFlow: patient.citrateFlow };
    for (const [j, row] of [patient, ...(patient.changes ?? [])].entries()) {
      now.anticoagulation = row.anticoagulation ?? now.anticoagulation;
      now.citrateFlow = row.citrateFlow ?? now.citrateFlow;
      if (j > 0 && row.anticoagulation == null && row.citrateFlow == null) continue;
      if (!now.citrateFlow || (counts && now.anticoagulation === 'citrate')) continue;
      const why = counts ? 'the anticoagulation is not citrate' : 'a dose means dialysate here';
      yield warning(
        j === 0 ? ['patients', i, 'citrateFlow'] : ['patients', i, 'changes', j - 1],
        `citrate flow ${now.citrateFlow} mL/h does not count: ${why}`,
        counts
          ? 'citrate as anticoagulation, or a citrate flow of 0'
          : 'a citrate flow of 0, or another rule',
      );
    }
  }
}

/**
 * Citrate takes calcium away at the filter, a bath without calcium takes it away in the patient: each without the other
 * is more often a slip than meant. Common practice, no source. Silent where no anticoagulation is typed for the bed, but
 * for a bath without calcium.
 */
function* citrateAgainstCalcium({ scenario }: Ground): Iterable<Fault> {
  const calcium = new Map(scenario.baths.map((bath) => [bath.id, bath.calcium]));
  for (const [i, patient] of scenario.patients.entries()) {
    const now = { bath: patient.bath, anticoagulation: patient.anticoagulation };
    for (const [j, row] of [patient, ...(patient.changes ?? [])].entries()) {
      now.bath = row.bath ?? now.bath;
      now.anticoagulation = row.anticoagulation ?? now.anticoagulation;
      if (j > 0 && row.bath == null && row.anticoagulation == null) continue;
      const path = j === 0 ? ['patients', i] : ['patients', i, 'changes', j - 1];
      const inBath = calcium.get(now.bath);
      if (inBath === 0 && now.anticoagulation !== 'citrate')
        yield warning(
          [...path, 'bath'],
          `bath "${now.bath}" is CALCIUM-FREE, and no citrate is typed`,
          'citrate, or a bath with calcium',
        );
      else if (inBath != null && inBath > 0 && now.anticoagulation === 'citrate')
        yield warning(
          [...path, 'bath'],
          `citrate with a bath that holds calcium, ${inBath} mEq/L`,
          'a calcium-free bath, or as the site’s procedure says',
        );
    }
  }
}

export const PATIENT_RULES: Record<string, FaultRule> = {
  duplicatePatient,
  doseOutOfRange: limited('dose'),
  weightOutOfRange: limited('weight'),
  hoursOutOfRange: limited('hoursPerDay'),
  fluidRemovalOutOfRange: limited('fluidRemoval'),
  replacementOutOfRange: limited('replacement'),
  tooManyDecimals,
  rateBelowZero,
  untilBeforeFrom,
  therapyOutsidePlan,
  changeOutsideTherapy,
  changeOfNothing,
  anticoagulationUnknown,
  citrateFlowOutOfRange: limited('citrateFlow'),
  citrateFlowUnread,
  citrateAgainstCalcium,
};
