import { type Line, rows, type ScenarioField } from './fieldRows.ts';

const KDIGO = 'KDIGO 2012 AKI guideline, rec. 5.8.4 (from memory); Semin Dial 2021, DOI 10.1111/sdi.12974';

const PRESCRIPTION: readonly Line[] = [
  [
    'dose',
    'Effluent dose (prescribed)',
    'mL/kg/h',
    'What the prescription asks, by body weight.',
    {
      min: 0,
      max: 200,
      usual: [20, 30],
      note: 'deliver 20 to 25, prescribe 25 to 30',
      source: KDIGO,
    },
  ],
  [
    'weight',
    'Weight',
    'kg',
    'Body weight that the dose is counted on.',
    {
      above: 0,
      max: 500,
      // Adults. Children are planned the same way, so a small weight is a warning; a large one more often is in pounds.
      usual: [30, 150],
      note: '180 lb are 81.6 kg',
    },
  ],
  [
    'fluidRemoval',
    'Net fluid removal',
    'mL/h',
    'Net fluid taken from the patient: part of the effluent.',
    {
      min: 0,
      max: 10_000,
      usual: [0, 1000],
      none: '0',
    },
  ],
  [
    'replacement',
    'Replacement fluid (pre- and post-filter)',
    'mL/h',
    'Licensed sterile fluid: part of the effluent, never made here.',
    {
      min: 0,
      max: 20_000,
      usual: [0, 6000],
      none: '0',
    },
  ],
  [
    'hoursPerDay',
    'Therapy hours per day',
    'h a day',
    'Hours of therapy in 24 h; 22 stands for 2 h of downtime.',
    {
      min: 0,
      max: 24,
      // Prolonged intermittent therapy runs 8 to 12 h (CJASN 2023;18(2):256-269, Table 2); less is more often a slip.
      usual: [4, 24],
      note: 'at 0 nothing runs and no bag is hung',
      none: '24',
    },
  ],
  ['bath', 'Bath', '', 'The bath that is prescribed.'],
  [
    'anticoagulation',
    'Anticoagulation',
    '',
    'What keeps the blood from clotting: none, heparin or citrate; checked against the calcium of the bath.',
    { none: 'not typed' },
  ],
  [
    'citrateFlow',
    'Citrate flow in the effluent',
    'mL/h',
    'Citrate solution, where the site counts it into the effluent; read only while anticoagulation is citrate.',
    { min: 0, max: 20_000, usual: [0, 4000], none: '0' },
  ],
];
const ION = (key: string, name: string, unit: string, usual: readonly [number, number]): Line => [
  key,
  name,
  unit,
  `${name} of the bath as it leaves the machine.`,
  { min: 0, max: 500, usual },
];

/** What baths there are, and who needs which. */
export const BED_FIELDS: readonly ScenarioField[] = [
  ...rows('Baths', 'baths[]', [
    ['id', 'Bath', '', 'Its name, e.g. 2K.'],
    ION('potassium', 'Potassium', 'mmol/L', [0, 4.5]),
    ION('sodium', 'Sodium', 'mmol/L', [130, 150]),
    ION('calcium', 'Calcium', 'mEq/L', [0, 4]),
    ION('magnesium', 'Magnesium', 'mEq/L', [0, 2.5]),
    ION('chloride', 'Chloride', 'mmol/L', [85, 130]),
    ION('bicarbonate', 'Bicarbonate', 'mmol/L', [15, 45]),
    ION('acetate', 'Acetate', 'mmol/L', [0, 10]),
    [
      'glucose',
      'Glucose',
      'mmol/L',
      'Glucose of the bath.',
      {
        min: 0,
        max: 5000,
        usual: [0, 30],
        note: '100 mg/dL are 5.55 mmol/L',
        source: 'BMC Nephrol 2023;24, DOI 10.1186/s12882-023-03260-9, Table 1, footnote 2 (the factor)',
      },
    ],
    ['tint', 'Color', '', 'Color of this bath on pictures.', { none: "one of the app's" }],
  ]),
  ...rows('Substitute baths', 'substitutes[]', [
    ['bath', 'Bath', '', 'The bath that runs short.'],
    ['by', 'Given instead', '', 'The bath that may be given in its place.'],
    ['from', 'From', '', 'Approved from then on.', { none: 'start of the plan' }],
    ['until', 'Until', '', 'Approved until then.', { none: 'end of the plan' }],
    ['except', 'Beds excluded', '', 'Beds that never get it.', { none: 'none' }],
    ['approvedBy', 'Approved by', '', 'Who signed it: initials or a staff code.', { none: 'nobody typed' }],
  ]),
  ...rows('Patients', 'patients[]', [
    ['id', 'Bed', '', 'Bed or study label, never a name.'],
    ...PRESCRIPTION,
    ['from', 'From', '', 'Therapy starts.', { none: 'start of the plan' }],
    ['until', 'Until', '', 'Therapy ends.', { none: 'end of the plan' }],
    ['ward', 'Ward', '', 'A label for pick lists; the plan does not look at it.', { none: 'none' }],
    [
      'priority',
      'Priority class',
      '',
      "A class of the site's own scheme, read only to show who would go short.",
      { none: 'not typed' },
    ],
    ['hanging', 'Hanging bag', '', 'The bag that hangs at the start of the plan.', { none: 'none' }],
    ['hanging.hungAt', 'Hanging bag hung at', '', 'When the bag that hangs at the start was hung.'],
    [
      'hanging.litres',
      'Hanging bag holds',
      'L',
      'What is left at the start in the bag that hangs then.',
      { above: 0, max: 100 },
    ],
    ['session', 'Session', '', 'Therapy only some hours of each day.', { none: 'all day' }],
    ['session.start', 'Session starts', '', 'Time of day at which therapy begins.'],
    [
      'session.hours',
      'Session lasts',
      'h',
      'Therapy runs so long from then on, each day.',
      { above: 0, max: 24 },
    ],
  ]),
  ...rows('Changes', 'patients[].changes[]', [
    ['at', 'At', '', 'From then on the change holds.'],
    ...PRESCRIPTION,
  ]),
];
