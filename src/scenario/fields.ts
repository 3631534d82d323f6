/** What one number may be. Outside min..max it is an error, outside usual a warning. Both ends count as inside. */
export interface Limits {
  readonly unit: string;
  readonly min: number;
  readonly max: number;
  /** The least value itself is an error too. */
  readonly aboveMin?: boolean;
  readonly usual?: readonly [number, number];
  /** Said after the usual range. */
  readonly note?: string;
  readonly source?: string;
}

/** One field of the scenario's file, as faults, sheets, help and the README tell it. */
interface ScenarioField {
  /** From the file down: `[]` for a row of a list, `{}` for a key of a record, e.g. 'patients[].dose'. */
  readonly path: string;
  /** The sheet that shows it. */
  readonly sheet: string;
  /** Its name there. */
  readonly name: string;
  /** '' where it has none. */
  readonly unit: string;
  /** Of a number; absent for texts, times and lists. */
  readonly limits?: Limits;
  /** What an absent one means; absent where it must be there. */
  readonly fallback?: string;
  /** Where the usual range or the default comes from; absent where there is neither. */
  readonly source?: string;
  /** One sentence. */
  readonly help: string;
}

/** Nobody published it: a value to start from, the site's to change. */
const ASSUMED = 'site assumption';
const PH_SOURCE = 'site assumption';

/** Rows of the table, short to read: path, name, unit, help, and the rest by name. */
type Rest = {
  readonly min?: number;
  readonly max?: number;
  readonly above?: number;
  readonly usual?: readonly [number, number];
  readonly note?: string;
  readonly source?: string;
  readonly none?: string;
};
type Line = readonly [key: string, name: string, unit: string, help: string, rest?: Rest];

const fieldOf =
  (sheet: string, at: string) =>
  ([key, name, unit, help, rest = {}]: Line): ScenarioField => {
    const { min, max, above, usual, note, none } = rest;
    const source =
      rest.source ?? (usual || (none !== undefined && /^[\d.]+$/.test(none)) ? ASSUMED : undefined);
    return {
      path: at === '' ? key : key === '' ? at : `${at}.${key}`,
      sheet,
      name,
      unit,
      help,
      ...(max !== undefined && {
        limits: {
          unit,
          min: above ?? min ?? 0,
          max,
          ...(above !== undefined && { aboveMin: true }),
          ...(usual && { usual }),
          ...(note !== undefined && { note }),
          ...(rest.source !== undefined && { source: rest.source }),
        },
      }),
      ...(none !== undefined && { fallback: none }),
      ...(source !== undefined && { source }),
    };
  };
const rows = (sheet: string, at: string, lines: readonly Line[]): ScenarioField[] =>
  lines.map(fieldOf(sheet, at));

const KDIGO = 'KDIGO 2012 AKI guideline, rec. 5.8.4 (from memory); Semin Dial 2021, DOI 10.1111/sdi.12974';
const DAY = 1440;

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
const LOT: readonly Line[] = [
  ['lot', 'Lot', '', 'Its name: no other lot of stock or deliveries has it.'],
  ['bath', 'Bath', '', 'What the bags hold.'],
  ['bags', 'Bags', 'bags', 'How many there are.', { min: 0, max: 100_000 }],
  ['litres', 'Volume of a bag', 'L a bag', 'What one of them holds.', { above: 0, max: 50, usual: [1, 10] }],
  ['ready', 'Ready', '', 'From then on they may leave.', { none: 'at the start' }],
  ['expires', 'Expires', '', 'No bag hangs after it.', { none: 'never' }],
];
const ION = (key: string, name: string, unit: string, usual: readonly [number, number]): Line => [
  key,
  name,
  unit,
  `${name} of the bath as it leaves the machine.`,
  { min: 0, max: 500, usual },
];

/** The one table of the scenario's fields. A name, range, default or help changes here and nowhere else. */
export const FIELDS: readonly ScenarioField[] = [
  ...rows('Plan and rules', '', [
    ['title', 'Title', '', 'Stands on every page.'],
    ['timeZone', 'Time zone', '', 'IANA name, e.g. America/Chicago; all times are local to it.'],
    ['start', 'Plan starts', '', 'The first minute that is planned.'],
    [
      'days',
      'Plan lasts',
      'days',
      'So many times 24 h from the start, also across a clock change.',
      { min: 1, max: 366 },
    ],
    [
      'declined',
      'Declined suggestions',
      '',
      'What the app suggested and the site does not want to see again.',
      { none: 'none' },
    ],
  ]),
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
  ...rows('Machines', 'machines[]', [
    ['id', 'Machine', '', 'Its name, as on the machine.'],
    [
      'flow',
      'Dialysate flow',
      'mL/min',
      'What fills the bags.',
      { above: 0, max: 10_000, usual: [100, 1000] },
    ],
    [
      'flowTolerance',
      'Flow tolerance',
      '(a share of the flow)',
      'So much the flow may be off either way; it narrows the fill window.',
      {
        min: 0,
        max: 0.3,
        none: '0',
      },
    ],
    ['positions', 'Bags per fill', 'bags', 'Bags filled side by side.', { min: 1, max: 200 }],
    ['baths', 'Baths', '', 'What it may run.', { none: 'all' }],
    ['water', 'Water source', '', 'Where its water comes from.'],
    [
      'loaded.bath',
      'Bath in place',
      '',
      'What the circuit in place at the start runs.',
      { none: 'no circuit' },
    ],
    [
      'loaded.circuitSince',
      'Circuit since',
      '',
      'When the circuit in place was set up.',
      { none: 'no circuit' },
    ],
  ]),
  ...rows('Machine availability', 'machines[].available[]', [
    ['from', 'From', '', 'The machine may be used from then on.'],
    ['to', 'To', '', 'Until then.'],
  ]),
  ...rows('Water', 'water[]', [
    ['id', 'Water source', '', 'Its name, e.g. Loop 1.'],
    [
      'capacity',
      'Capacity',
      'mL/min',
      'What it gives to all its machines together.',
      { above: 0, max: 1_000_000 },
    ],
    [
      'testEvery',
      'Total chlorine test every',
      'min',
      'Water runs only so long after a test.',
      {
        min: 1,
        max: 100_000,
        usual: [1, 240],
        note: 'at least every 4 h while water runs',
        source: 'CJASN 2015;10(6):1061-1071, Table 4',
      },
    ],
    ['testMinutes', 'Test takes', 'min', 'How long a total chlorine test takes.', { min: 1, max: DAY }],
    ['lastTest', 'Last test', '', 'When the last test ended.', { none: 'none' }],
  ]),
  ...rows('Water capacity changes', 'water[].capacityChanges[]', [
    ['at', 'Capacity from', '', 'From then on it gives something else.'],
    ['capacity', 'Capacity then', 'mL/min', 'What it gives from then on.', { min: 0, max: 1_000_000 }],
  ]),
  ...rows('Shifts', 'shifts[]', [
    ['id', 'Shift', '', 'Its name.'],
    ['from', 'From', '', 'Time of day at which it begins.'],
    ['to', 'To', '', 'Time of day at which it ends, past midnight if not after its begin.'],
    ['technicians', 'Technicians', 'technicians', 'People for hands-on work.', { min: 0, max: 200 }],
    ['dates', 'Dates', '', 'Only the shifts that begin on these dates.', { none: 'every day' }],
  ]),
  ...rows('Duties', 'duties[]', [
    ['id', 'Duty', '', 'Its name, e.g. Break day.'],
    ['place', 'Place', '', 'A machine or a water source.', { none: 'none: a break or work elsewhere' }],
    ['times', 'Due at', '', 'Times of day.'],
    ['dates', 'Dates', '', 'Only on these dates.', { none: 'every day' }],
    ['minutes', 'Takes', 'min', 'How long it takes.', { min: 1, max: 10_080 }],
    [
      'slackMinutes',
      'May begin later by',
      'min',
      'It begins when it is due, or up to so much later.',
      {
        min: 0,
        max: 10_080,
        none: '0',
      },
    ],
    [
      'technicians',
      'Technicians',
      'technicians',
      'People at it throughout.',
      { min: 0, max: 200, none: '0' },
    ],
    [
      'flow',
      'Water drawn',
      'mL/min',
      'What it draws from the water source.',
      { min: 0, max: 1_000_000, none: '0' },
    ],
    ['endsCircuit', 'Ends the circuit', '', 'The machine needs a new circuit afterwards.', { none: 'no' }],
    [
      'voidsTests',
      'Voids tests',
      '',
      'The water needs a new total chlorine test afterwards.',
      { none: 'no' },
    ],
  ]),
  ...rows('Stock', 'stock[]', LOT),
  ...rows('Deliveries', 'deliveries[]', LOT),
  ...rows('Supplies', 'supplies[]', [
    ['item', 'Item', '', 'Its name and unit, e.g. acid 2K (L).'],
    ['onHand', 'On hand', '', "In the item's own unit, at the start.", { min: 0, max: 1_000_000_000 }],
    ['perCircuit', 'Per circuit', '', 'Used by a new circuit.', { min: 0, max: 1_000_000_000, none: '0' }],
    ['perFill', 'Per fill', '', 'Used by a fill.', { min: 0, max: 1_000_000_000, none: '0' }],
    [
      'perLitre',
      'Per liter',
      '',
      'Used by a liter of dialysate run.',
      { min: 0, max: 1_000_000_000, none: '0' },
    ],
    ['bath', 'Bath', '', 'Only this bath uses it.', { none: 'all' }],
  ]),
  ...rows('Supply deliveries', 'supplies[].deliveries[]', [
    ['at', 'At', '', 'It is there from then on.'],
    ['quantity', 'Quantity', '', "In the item's own unit.", { min: 0, max: 1_000_000_000 }],
  ]),
  ...rows('What could be had', 'offers[]', [
    ['id', 'Offer', '', 'Its name, e.g. loan Monday to Friday.'],
    ['kind', 'Kind', '', 'What it is: machine, water, technicians, supply or bags.'],
    ['of', 'Like or for', '', 'The machine it is like, or its water source, shift, supply or bath.'],
    [
      'pack',
      'Pack',
      '',
      "Smallest amount to be had: machines, mL/min, technicians, the item's unit or bags.",
      { above: 0, max: 1_000_000, none: '1' },
    ],
    [
      'price',
      'Price of a pack',
      '',
      'In your money, or as a weight; all offers in the same.',
      { above: 0, max: 1_000_000_000, none: 'weight 1' },
    ],
    [
      'leadDays',
      'Lead time',
      'days',
      'Days from the start of the plan until it is there.',
      { min: 0, max: 366, none: '0' },
    ],
    [
      'most',
      'At most',
      'packs',
      'No more packs than these can be had.',
      { min: 0, max: 1_000_000, none: 'no limit' },
    ],
    [
      'weekdays',
      'Days of the week',
      '',
      'A machine or technician is there only on these days.',
      { none: 'every day' },
    ],
    [
      'litres',
      'Volume of a bag',
      'L a bag',
      'What a purchased bag holds.',
      { above: 0, max: 50, usual: [1, 10], none: 'the minimum fill volume' },
    ],
    [
      'keepsHours',
      'Keeps',
      'h',
      'A purchased bag expires so long after it is there.',
      { above: 0, max: 100_000, none: 'never expires' },
    ],
  ]),
  ...rows('Plan and rules', 'rules', [
    [
      'fillLitres',
      'Minimum fill volume',
      'L a bag',
      'What a bag must hold.',
      { min: 0.1, max: 50, usual: [2, 10], none: '6.5' },
    ],
    [
      'maxLitres',
      'Maximum fill volume',
      'L a bag',
      'What a bag may hold: it must be off the machine before it holds more.',
      {
        min: 0.1,
        max: 50,
        usual: [2, 10],
        none: '7.5',
      },
    ],
    [
      'circuitHours',
      'Circuit life',
      'h',
      'So long a filling circuit may be used.',
      { above: 0, max: 8784, none: '24' },
    ],
    [
      'shelfHours',
      'Shelf life',
      'h',
      'How long a filled bag keeps, from the end of its fill.',
      {
        above: 0,
        max: 8784,
        none: '120',
        source:
          'published tests of stored fluid end at 48 h: BMC Nephrol 2023;24, DOI 10.1186/s12882-023-03260-9, Table 1',
      },
    ],
    [
      'stabiliseMinutes',
      'Flow after a bath change',
      'min',
      'Before a sample is taken.',
      { min: 0, max: DAY, none: '5' },
    ],
    ['sampleMinutes', 'Sample', 'min', 'Take it, read it, write it down.', { min: 0, max: DAY, none: '5' }],
    [
      'swapMinutes',
      'Bag swap',
      'min',
      'Full bags off, sealed and labeled; empty bags on.',
      { min: 1, max: DAY, none: '8' },
    ],
    [
      'circuitMinutes',
      'New circuit',
      'min',
      'Old circuit off, self-test, new one primed, sample read.',
      { min: 1, max: DAY, none: '30' },
    ],
    [
      'releaseMinutes',
      'Release',
      'min',
      'From the end of the swap until the bags may leave.',
      { min: 0, max: DAY, none: '15' },
    ],
    [
      'releaseAfterTest',
      'Release after a total chlorine test',
      '',
      'Bags also wait for the next test of their water.',
      { none: 'no' },
    ],
    [
      'rounds',
      'Bag rounds',
      '',
      'Times of day at which bags leave for the bedside.',
      { none: '06:00 and 18:00' },
    ],
    [
      'leadMinutes',
      'Lead time',
      'min',
      'From a bag round until a bag can hang.',
      { min: 0, max: DAY, none: '60' },
    ],
    [
      'maxHangHours',
      'Maximum hang time',
      'h',
      'A hung bag is discarded after it.',
      { min: 0.25, max: 8784, none: '24' },
    ],
    ['reserve', 'Reserve', 'bags', 'Bags wanted at the end, beyond the need.', { none: 'none' }],
    [
      'reserve{}',
      'Reserve',
      'bags',
      'Bags of this bath wanted at the end, good for 24 h more.',
      { min: 0, max: 100_000 },
    ],
    ['minStock', 'Minimum stock', 'bags', 'Bags wanted in stock after every bag round.', { none: 'none' }],
    [
      'minStock{}',
      'Minimum stock',
      'bags',
      'Bags of this bath wanted in stock after every bag round.',
      { min: 0, max: 100_000 },
    ],
    [
      'walkMinutes',
      'Walk',
      'min',
      'Technicians walk so long to work at another place.',
      { min: 0, max: DAY, none: '0' },
    ],
    [
      'fillStartMinutes',
      'At the start of a fill',
      'min',
      'One technician stays so long at a fill that begins.',
      { min: 0, max: DAY, none: '0' },
    ],
    [
      'hands',
      'Technicians for each kind of work',
      'technicians',
      'How many a new circuit, bath change, bag swap or test takes.',
      { none: '1' },
    ],
    [
      'hands{}',
      'Technicians for this work',
      'technicians',
      'How many it takes throughout.',
      { min: 0, max: 200 },
    ],
    [
      'sampleBags',
      'Sample bags',
      'bags',
      'Bags of each fill that go to tests and do not count.',
      { min: 0, max: 200, none: '0' },
    ],
    [
      'releaseBy',
      'Bags are released by',
      '',
      'After the release time (time), or only once somebody has noted their release (entry).',
      { none: 'time' },
    ],
    [
      'doseMeans',
      'A dose means',
      '',
      'All that leaves the filter (effluent), or the dialysate alone (dialysate).',
      { none: 'effluent' },
    ],
    [
      'steadyMinutes',
      'Steady time',
      'min',
      'Work that begins this soon stays as planned, unless it cannot be done or is unsafe.',
      { min: 0, max: DAY, none: '120' },
    ],
    [
      'chlorineLimit',
      'Total chlorine limit',
      'mg/L',
      'A test that shows more has failed.',
      {
        min: 0,
        max: 0.5,
        usual: [0, 0.1],
        none: '0.1',
        source: 'CJASN 2015;10(6):1061-1071, Table 4',
      },
    ],
    [
      'conductivityTolerance',
      'Conductivity tolerance',
      '(a share of the expected)',
      'So much a measured conductivity may be off either way.',
      { above: 0, max: 0.2, none: '0.05' },
    ],
    [
      'pHMin',
      'Lowest pH',
      '',
      'A sample with a lower pH is outside the limits.',
      { min: 5, max: 9, usual: [6.9, 7.6], none: '6.9', source: PH_SOURCE },
    ],
    [
      'pHMax',
      'Highest pH',
      '',
      'A sample with a higher pH is outside the limits.',
      { min: 5, max: 9, usual: [6.9, 7.6], none: '7.6', source: PH_SOURCE },
    ],
  ]),
  ...rows('Forecast', 'forecast', [
    ['days', 'Days looked ahead', 'days', 'Days of each simulated run.', { min: 1, max: 366, none: '30' }],
    [
      'draws',
      'Simulated runs',
      'draws',
      'How many futures are simulated.',
      { min: 1, max: 10_000_000, none: '10000' },
    ],
    [
      'seed',
      'Seed',
      '',
      'The same seed simulates the same runs.',
      { min: 0, max: Number.MAX_SAFE_INTEGER, none: '1' },
    ],
    [
      'confidence',
      'Service level',
      '',
      'Share of runs without a shortage that is asked for.',
      { min: 0.5, max: 0.9999, none: '0.95' },
    ],
    ['doseCap', 'Dose at most', 'mL/kg/h', 'No new patient has more.', { above: 0, max: 200, none: 'none' }],
    ['hoursCap', 'Hours at most', 'h a day', 'No new patient has more.', { above: 0, max: 24, none: 'none' }],
    [
      'absence',
      'Absence',
      '(a share of 1)',
      'Chance that a technician misses a shift.',
      { min: 0, max: 1, none: '0' },
    ],
    [
      'breakdowns.daysBetween',
      'Days between breakdowns',
      'days',
      'Mean of a machine.',
      { above: 0, max: 100_000 },
    ],
    ['breakdowns.hoursToRepair', 'Hours to repair', 'h', 'Mean of a repair.', { min: 0, max: 10_000 }],
  ]),
];

const byPath = new Map(FIELDS.map((field) => [field.path, field]));

/** The field at a path of a scenario, e.g. of ['patients', 3, 'dose']; undefined where the table has none. */
export function fieldAt(path: readonly (string | number)[]): ScenarioField | undefined {
  const known = path.reduce<string>((text, key) => {
    if (typeof key === 'number') return `${text}[]`;
    return text === '' ? key : `${text}.${key}`;
  }, '');
  // The last key may be one of a list within a cell (a bed excluded), or of a record (a bath of the reserve).
  return (
    byPath.get(known) ?? byPath.get(known.replace(/\[\]$/, '')) ?? byPath.get(known.replace(/\.[^.]*$/, '{}'))
  );
}

/** What a number may be. @throws where the table has no limits for this path: a slip in the code */
export function limitsOf(path: string): Limits {
  const limits = byPath.get(path)?.limits;
  if (!limits) throw new Error(`no limits of ${path}`);
  return limits;
}

/**
 * Where a field stands on the screen, e.g. 'Patients › bed-04 › Effluent dose (prescribed)'; '' where no sheet shows it.
 * @param row the name of the row, where it has one
 */
export function whereOnScreen(path: readonly (string | number)[], row?: string): string {
  const field = fieldAt(path);
  if (!field) return '';
  const number = path.find((key) => typeof key === 'number');
  const record = field.path.endsWith('{}') ? String(path.at(-1)) : undefined;
  const which = row || (typeof number === 'number' ? `row ${number + 1}` : '');
  return [field.sheet, which, field.name, record].filter(Boolean).join(' › ');
}
