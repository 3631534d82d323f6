import { toNumber } from '../exact/fraction.ts';
import { citrateInEffluent, hourlyRate } from '../scenario/problem/course.ts';
import { bagLitresOf, doseMeansOf } from '../scenario/problem/rules.ts';
import type { Patient, Scenario } from '../scenario/schema.ts';
import { NESTED } from '../scenario/unassigned.ts';
import { doseName } from '../words/solutes.ts';
import { type Field, listRows, nestedRows, type Row, type Sheet } from './sheet.ts';
import { always, bath, field, ids, named, needed, type Rest } from './sheetParts.ts';

const start = (scenario: Scenario): string => scenario.start.slice(0, 16).replace('T', ' ');

const DOSE_RANGE = 'Usual: deliver 20-25, so prescribe 25-30 (KDIGO 2012).';

/** Hours in a day, as people write them: not a share of the day. */
const HOURS_A_DAY = [
  'h/day',
  'h/d',
  'hr/day',
  'hrs/day',
  'hours/day',
  'hour/day',
  'h/24h',
  'h/24 h',
  'hours',
  'hrs',
];

const prescription: readonly Field[] = [
  field(['dose', 'Effluent dose (prescribed)', 'number', `By body weight. ${DOSE_RANGE}`], {
    unit: 'mL/kg/h',
    heading: (scenario) => doseName(doseMeansOf(scenario)),
    width: 165,
  }),
  field(['weight', 'Weight', 'number', 'Body weight that the dose refers to.'], { unit: 'kg', width: 95 }),
  field(
    [
      'fluidRemoval',
      'Net fluid removal',
      'number',
      'Net fluid taken from the patient. It is part of the effluent.',
    ],
    {
      unit: 'mL/h',
      fallback: always('0'),
      width: 120,
    },
  ),
  field(
    [
      'replacement',
      'Replacement fluid (pre- and post-filter)',
      'number',
      'Licensed sterile fluid, part of the effluent. It is never made here.',
    ],
    {
      unit: 'mL/h',
      fallback: always('0'),
      width: 200,
    },
  ),
  field(
    [
      'hoursPerDay',
      'Therapy hours per day',
      'number',
      'Hours of therapy in 24 h. 22 allows for 2 h of downtime.',
    ],
    {
      unit: 'h',
      spellings: HOURS_A_DAY,
      fallback: always('24'),
      width: 115,
    },
  ),
];
const anticoagulation = (rest: Rest): Field =>
  field(
    [
      'anticoagulation',
      'Anticoagulation',
      'choice',
      'none, heparin or citrate; checked against the calcium of the bath.',
    ],
    { choices: () => ['none', 'heparin', 'citrate'], width: 130, ...rest },
  );
const citrateFlow = (rest: Rest): Field =>
  field(
    [
      'citrateFlow',
      'Citrate flow in the effluent',
      'number',
      'Citrate solution, where your site counts it into the effluent dose. It counts only while anticoagulation is citrate.',
    ],
    { unit: 'mL/h', width: 130, ...rest },
  );

const numberOr = (value: unknown, otherwise: number): number =>
  value == null ? otherwise : typeof value === 'number' ? value : Number.NaN;
/** mL/h that a bed runs while it runs: dose x weight less what the bath does not give; null: not all of it is typed. */
function flowOf(value: Row['value'], scenario: Scenario): number | null {
  const [dose, weight] = [numberOr(value.dose, Number.NaN), numberOr(value.weight, Number.NaN)];
  const [fluidRemoval, replacement] = [numberOr(value.fluidRemoval, 0), numberOr(value.replacement, 0)];
  const citrate = numberOr(citrateInEffluent(value), 0);
  if (![dose, weight, fluidRemoval, replacement, citrate].every(Number.isFinite)) return null;
  const rate = hourlyRate({ dose, weight, fluidRemoval, replacement, citrate }, doseMeansOf(scenario));
  return Math.max(0, toNumber(rate));
}
/** What a bed's own row comes to, its later changes left aside. */
const needs: readonly Field[] = [
  field(
    [
      'flow',
      'Dialysate flow',
      'fixed',
      'While therapy runs: dose x weight, less net fluid removal, replacement fluid and citrate. What the pump shows.',
    ],
    {
      unit: 'mL/h',
      numeric: true,
      path: [],
      width: 110,
      show: ({ value }, scenario) => {
        const flow = flowOf(value, scenario);
        return flow === null ? '' : flow.toFixed(0);
      },
    },
  ),
  field(
    [
      'bagsPerDay',
      'Bags per day',
      'fixed',
      'Liters per day (flow x therapy hours), divided by the minimum fill volume. New baths and the maximum hang time add to it.',
    ],
    {
      numeric: true,
      path: [],
      width: 105,
      show: ({ value }, scenario) => {
        const flow = flowOf(value, scenario);
        const session = value.session as Patient['session'];
        const hours = session ? session.hours : (value.hoursPerDay ?? 24);
        const litres = bagLitresOf(scenario);
        if (flow === null || typeof hours !== 'number' || !(litres > 0)) return '';
        return ((flow * hours) / 1000 / litres).toFixed(1);
      },
    },
  ),
];

/** In a change an empty cell leaves what was prescribed before. */
const changed = prescription.map((one) => ({ ...one, fallback: always('as before') }));

export const patients: Sheet = {
  id: 'patients',
  title: 'Patients',
  one: 'patient',
  about:
    'One row for each bed on continuous therapy. The plan takes dose and bath as prescribed. It never decides them.',
  list: 'patients',
  rows: listRows('patients'),
  fields: [
    field(['id', 'Bed', 'text', 'Bed or study label. Never type the name of a patient.'], needed(100)),
    ...prescription
      .filter(({ key }) => key === 'weight' || key === 'dose')
      .map((one) => ({ ...one, required: true }))
      .reverse(),
    bath('Prescribed bath.', needed(90)),
    ...prescription.filter(({ key }) => key !== 'weight' && key !== 'dose'),
    anticoagulation({ fallback: always('not typed') }),
    citrateFlow({ fallback: always('0') }),
    ...needs,
    field(['from', 'From', 'time', 'Therapy starts.'], { fallback: start, width: 145 }),
    field(['until', 'Until', 'time', 'Therapy ends.'], { fallback: always('to the end'), width: 145 }),
    field(['ward', 'Ward', 'text', 'Where the bed stands. It changes no number of the plan.'], {
      fallback: always('not typed'),
      width: 90,
    }),
    field(
      [
        'priority',
        'Priority class',
        'text',
        "A class of the site's own scheme, e.g. 1 before 2. Read only to show who would go short; the plan ignores it.",
      ],
      { fallback: always('not typed'), width: 110 },
    ),
    field(['sessionStart', 'Session starts', 'clock', 'Time of day at which therapy begins, each day.'], {
      path: ['session', 'start'],
      fallback: always('all day'),
      width: 110,
    }),
    field(['sessionHours', 'Session lasts', 'number', 'Therapy runs so long from then on, each day.'], {
      unit: 'h',
      path: ['session', 'hours'],
      width: 105,
    }),
    field(['changesCount', 'Later changes', 'fixed', 'Later prescriptions are on the sheet Changes.'], {
      width: 115,
      show: ({ value }) =>
        Array.isArray(value.changes) && value.changes.length > 0 ? String(value.changes.length) : '',
    }),
  ],
  // A name and no more: whatever else stood there would be a prescription that nobody wrote.
  fresh: (scenario, above) => ({ id: named(scenario.patients, 'id', 'bed-01', above) }),
};

export const changes: Sheet = {
  id: 'changes',
  title: 'Changes',
  one: 'change',
  about: 'Later prescriptions of a patient. An empty cell keeps what was prescribed before.',
  ...NESTED.changes,
  rows: nestedRows('changes'),
  fields: [
    field(['owner', 'Bed', 'choice', 'The patient whose prescription changes.'], {
      choices: ids('patients'),
      ...needed(100),
      show: ({ owner }) => owner ?? '',
    }),
    field(['at', 'At', 'time', 'From when it holds.'], needed(145)),
    bath('The new bath. The rest of the open bag is discarded.', { fallback: always('as before') }),
    ...changed,
    anticoagulation({ fallback: always('as before') }),
    citrateFlow({ fallback: always('as before') }),
  ],
  fresh: () => ({}),
};
