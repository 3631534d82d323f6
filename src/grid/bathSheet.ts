import { expectedConductivity } from '../chemistry/conductivity.ts';
import { chargeGap, compositionOf, IONS, osmolarity } from '../chemistry/ions.ts';
import type { Bath, Scenario } from '../scenario/schema.ts';
import { lackingText } from './lacking.ts';
import { alsoAs, type Solute, unitOf } from './readIon.ts';
import { type Field, listRows, type Row, type Sheet } from './sheet.ts';
import { always, bath, field, named, needed } from './sheetParts.ts';

const ion = (key: Solute, header: string): Field =>
  field(
    [
      key,
      header,
      'number',
      `${header} of the finished dialysate. Any unit of the label may be typed, e.g. ${key === 'glucose' ? 'mmol/L or mg/dL' : 'mmol/L or mEq/L'}.`,
    ],
    { unit: unitOf(key), solute: key, width: alsoAs(key, 1) === '' ? 115 : 150 },
  );

/** A bath's composition as its row holds it; null while any of it holds text. */
const bathOf = ({ value }: Row): Bath | null =>
  [...IONS, 'glucose'].every((key) => value[key] == null || typeof value[key] === 'number')
    ? (value as Bath)
    : null;
const without = (missing: readonly string[]): string => `no ${missing.join(', ')} typed`;

/** What a bath lacks, in letters that are not overlooked. */
const lacks: Field = field(['lacks', 'Mind', 'fixed', 'What the bath does not hold at all.'], {
  path: [],
  width: 170,
  show: (row) => lackingText(row.value),
});

/** What follows from a bath's composition. */
const judged: readonly Field[] = [
  field(
    [
      'charge',
      'Charge balance',
      'fixed',
      'Positive less negative ions; 0 where all are typed exactly. Above 5 one is likely mistyped.',
    ],
    {
      unit: 'mEq/L',
      path: [],
      width: 120,
      show: (row) => {
        const bath = bathOf(row);
        if (!bath) return '';
        const { composition, missing } = compositionOf(bath);
        return missing.length > 0 ? without(missing) : chargeGap(composition).toFixed(1);
      },
    },
  ),
  field(
    ['osmolarity', 'Osmolarity', 'fixed', 'Sum of all that is dissolved, each particle counted as one.'],
    {
      unit: 'mOsm/L',
      path: [],
      width: 110,
      show: (row) => {
        const bath = bathOf(row);
        if (!bath) return '';
        const { composition, missing } = compositionOf(bath);
        return missing.length > 0 || bath.glucose == null
          ? ''
          : osmolarity(composition, bath.glucose).toFixed(1);
      },
    },
  ),
  ...[25, 37].map((celsius) =>
    field(
      [
        `conductivity${celsius}`,
        `Expected at ${celsius} °C`,
        'fixed',
        'Conductivity to expect of this composition. It cannot tell baths apart that differ in potassium alone.',
      ],
      {
        unit: 'mS/cm',
        path: [],
        width: 120,
        show: (row) => {
          const bath = bathOf(row);
          return (bath && expectedConductivity(bath, celsius)?.toFixed(2)) ?? '';
        },
      },
    ),
  ),
];

export const bathSheet: Sheet = {
  id: 'baths',
  title: 'Baths',
  one: 'bath',
  about: 'Dialysate baths. You may set the tint. Letter and pattern stay with the bath on every picture.',
  list: 'baths',
  rows: listRows('baths'),
  fields: [
    field(['id', 'Bath', 'text', 'Name of the bath.'], needed(100)),
    lacks,
    ion('potassium', 'Potassium'),
    ion('sodium', 'Sodium'),
    ion('calcium', 'Calcium'),
    ion('magnesium', 'Magnesium'),
    ion('chloride', 'Chloride'),
    ion('bicarbonate', 'Bicarbonate'),
    ion('acetate', 'Acetate'),
    ion('glucose', 'Glucose'),
    ...judged,
    field(['tint', 'Tint', 'text', 'Color on pictures, as #rrggbb. Empty: a color of the palette.'], {
      fallback: always('from the palette'),
      width: 105,
    }),
  ],
  fresh: (scenario, above) => ({ id: named(scenario.baths, 'id', '2K', above) }),
};

const beds = (scenario: Scenario): string[] => scenario.patients.map(({ id }) => String(id ?? ''));

export const substitutes: Sheet = {
  id: 'substitutes',
  title: 'Substitute baths',
  one: 'substitute',
  about:
    'Baths that a prescriber approved in place of another. Only the clinical ways out of a shortage look at them. Nothing is swapped by itself.',
  list: 'substitutes',
  rows: listRows('substitutes'),
  fields: [
    bath('The bath that runs short.', needed(90)),
    {
      ...bath('The bath that may be given instead.', needed(110)),
      key: 'by',
      header: 'Given instead',
      path: ['by'],
    },
    field(['from', 'From', 'time', 'Approved from.'], { fallback: always('from the start'), width: 145 }),
    field(['until', 'Until', 'time', 'Approved until.'], { fallback: always('to the end'), width: 145 }),
    field(['except', 'Beds excluded', 'list', 'Beds that never get it, separated by commas.'], {
      choices: beds,
      fallback: always('none'),
      width: 200,
    }),
    field(['approvedBy', 'Approved by', 'text', 'Who signed it: initials or a staff code, never a name.'], {
      fallback: always('nobody typed'),
      width: 120,
    }),
  ],
  fresh: () => ({}),
};
