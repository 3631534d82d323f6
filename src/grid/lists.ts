import { expectedConductivity } from '../chemistry/conductivity.ts';
import { chargeGap, compositionOf, IONS, osmolarity } from '../chemistry/ions.ts';
import { toNumber } from '../exact/fraction.ts';
import { OFFER_KINDS, offerNames, WEEKDAYS } from '../scenario/offerNames.ts';
import { citrateInEffluent, hourlyRate } from '../scenario/problem/course.ts';
import { bagLitresOf, doseMeansOf } from '../scenario/problem/rules.ts';
import type { Bath, Patient, Scenario } from '../scenario/schema.ts';
import { NESTED } from '../scenario/unassigned.ts';
import { countText } from '../words/numbers.ts';
import { doseName } from '../words/solutes.ts';
import { freeName } from './edits.ts';
import { bathNote, lackingText } from './lacking.ts';
import { alsoAs, type Solute, unitOf } from './readIon.ts';
import { type Field, type Kind, listRows, nestedRows, type Row, type Sheet } from './sheet.ts';

type Rest = Partial<Omit<Field, 'key' | 'header' | 'kind' | 'about'>>;

/** A field whose value lies right under its key. */
const field = (key: string, header: string, kind: Kind, about: string, rest: Rest = {}): Field => ({
  key,
  header,
  kind,
  about,
  path: [key],
  ...rest,
});
const needed = (width?: number): Rest => ({ required: true, width });
const always = (text: string) => () => text;

const baths = (scenario: Scenario): string[] => scenario.baths.map(({ id }) => String(id ?? ''));
const water = (scenario: Scenario): string[] => scenario.water.map(({ id }) => String(id ?? ''));
const ids = (list: 'patients' | 'machines') => (scenario: Scenario) =>
  scenario[list].map(({ id }) => String(id ?? ''));
const items = (scenario: Scenario): string[] =>
  (scenario.supplies ?? []).map(({ item }) => String(item ?? ''));

const bath = (about: string, rest: Rest = {}): Field =>
  field('bath', 'Bath', 'choice', about, {
    choices: baths,
    byPotassium: true,
    choiceNote: (id, scenario) => bathNote(scenario.baths.find((one) => one.id === id)),
    width: 90,
    ...rest,
  });
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
  field('dose', 'Effluent dose (prescribed)', 'number', `By body weight. ${DOSE_RANGE}`, {
    unit: 'mL/kg/h',
    heading: (scenario) => doseName(doseMeansOf(scenario)),
    width: 165,
  }),
  field('weight', 'Weight', 'number', 'Body weight that the dose refers to.', { unit: 'kg', width: 95 }),
  field(
    'fluidRemoval',
    'Net fluid removal',
    'number',
    'Net fluid taken from the patient. It is part of the effluent.',
    {
      unit: 'mL/h',
      fallback: always('0'),
      width: 120,
    },
  ),
  field(
    'replacement',
    'Replacement fluid (pre- and post-filter)',
    'number',
    'Licensed sterile fluid, part of the effluent. It is never made here.',
    {
      unit: 'mL/h',
      fallback: always('0'),
      width: 200,
    },
  ),
  field(
    'hoursPerDay',
    'Therapy hours per day',
    'number',
    'Hours of therapy in 24 h. 22 allows for 2 h of downtime.',
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
    'anticoagulation',
    'Anticoagulation',
    'choice',
    'none, heparin or citrate; checked against the calcium of the bath.',
    { choices: () => ['none', 'heparin', 'citrate'], width: 130, ...rest },
  );
const citrateFlow = (rest: Rest): Field =>
  field(
    'citrateFlow',
    'Citrate flow in the effluent',
    'number',
    'Citrate solution, where your site counts it into the effluent dose. It counts only while anticoagulation is citrate.',
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
    'flow',
    'Dialysate flow',
    'fixed',
    'While therapy runs: dose x weight, less net fluid removal, replacement fluid and citrate. What the pump shows.',
    {
      unit: 'L/h',
      path: [],
      width: 110,
      show: ({ value }, scenario) => {
        const flow = flowOf(value, scenario);
        return flow === null ? '' : (flow / 1000).toFixed(2);
      },
    },
  ),
  field(
    'bagsPerDay',
    'Bags per day',
    'fixed',
    'Liters per day (flow x therapy hours), divided by the minimum fill volume. New baths and the maximum hang time add to it.',
    {
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

/** For things that come in kinds. Never for what is prescribed. */
const likeAbove = (above: Row | undefined, ...keys: string[]): Record<string, unknown> =>
  Object.fromEntries(keys.flatMap((key) => (above?.value[key] == null ? [] : [[key, above.value[key]]])));
const named = (list: readonly Record<string, unknown>[], key: string, first: string, above?: Row): string => {
  if (list.length === 0) return first;
  return freeName(list, key, String(above?.value[key] ?? list.at(-1)![key] ?? first));
};

const patients: Sheet = {
  id: 'patients',
  title: 'Patients',
  one: 'patient',
  about:
    'One row for each bed on continuous therapy. The plan takes dose and bath as prescribed. It never decides them.',
  list: 'patients',
  rows: listRows('patients'),
  fields: [
    field('id', 'Bed', 'text', 'Bed or study label. Never type the name of a patient.', needed(100)),
    ...prescription
      .filter(({ key }) => key === 'weight' || key === 'dose')
      .map((one) => ({ ...one, required: true }))
      .reverse(),
    bath('Prescribed bath.', needed(90)),
    ...prescription.filter(({ key }) => key !== 'weight' && key !== 'dose'),
    anticoagulation({ fallback: always('not typed') }),
    citrateFlow({ fallback: always('0') }),
    ...needs,
    field('from', 'From', 'time', 'Therapy starts.', { fallback: start, width: 145 }),
    field('until', 'Until', 'time', 'Therapy ends.', { fallback: always('to the end'), width: 145 }),
    field('ward', 'Ward', 'text', 'Where the bed stands. It changes no number of the plan.', {
      fallback: always('not typed'),
      width: 90,
    }),
    field(
      'priority',
      'Priority class',
      'text',
      "A class of the site's own scheme, e.g. 1 before 2. Read only to show who would go short; the plan ignores it.",
      { fallback: always('not typed'), width: 110 },
    ),
    field('sessionStart', 'Session starts', 'clock', 'Time of day at which therapy begins, each day.', {
      path: ['session', 'start'],
      fallback: always('all day'),
      width: 110,
    }),
    field('sessionHours', 'Session lasts', 'number', 'Therapy runs so long from then on, each day.', {
      unit: 'h',
      path: ['session', 'hours'],
      width: 105,
    }),
    field('changesCount', 'Later changes', 'fixed', 'Later prescriptions are on the sheet Changes.', {
      width: 115,
      show: ({ value }) =>
        Array.isArray(value.changes) && value.changes.length > 0 ? String(value.changes.length) : '',
    }),
  ],
  // A name and no more: whatever else stood there would be a prescription that nobody wrote.
  fresh: (scenario, above) => ({ id: named(scenario.patients, 'id', 'bed-01', above) }),
};

const changes: Sheet = {
  id: 'changes',
  title: 'Changes',
  one: 'change',
  about: 'Later prescriptions of a patient. An empty cell keeps what was prescribed before.',
  ...NESTED.changes,
  rows: nestedRows('changes'),
  fields: [
    field('owner', 'Bed', 'choice', 'The patient whose prescription changes.', {
      choices: ids('patients'),
      ...needed(100),
      show: ({ owner }) => owner ?? '',
    }),
    field('at', 'At', 'time', 'From when it holds.', needed(145)),
    bath('The new bath. The rest of the open bag is discarded.', { fallback: always('as before') }),
    ...changed,
    anticoagulation({ fallback: always('as before') }),
    citrateFlow({ fallback: always('as before') }),
  ],
  fresh: () => ({}),
};

const machines: Sheet = {
  id: 'machines',
  title: 'Machines',
  one: 'machine',
  about: 'Machines that fill bags. One fill fills all bags side by side.',
  list: 'machines',
  rows: listRows('machines'),
  fields: [
    field('id', 'Machine', 'text', 'Name of the machine.', needed(100)),
    field('flow', 'Dialysate flow', 'number', 'Flow while it fills.', { unit: 'mL/min', ...needed(125) }),
    field(
      'flowTolerance',
      'Flow tolerance',
      'number',
      'Share by which the flow may be off either way, 0 to 0.3. It narrows the fill window.',
      { fallback: always('0'), width: 105 },
    ),
    field('positions', 'Bags per fill', 'integer', 'Bags filled side by side.', needed(95)),
    field('water', 'Water', 'choice', 'The water source it uses.', { choices: water, ...needed(90) }),
    field('baths', 'Baths', 'list', 'Baths it may run, separated by commas.', {
      choices: baths,
      fallback: always('all'),
      width: 130,
    }),
    field('loadedBath', 'Loaded bath', 'choice', 'Bath of the filling circuit in place at the start.', {
      path: ['loaded', 'bath'],
      choices: baths,
      fallback: always('no circuit'),
      width: 110,
    }),
    field('circuitSince', 'Circuit since', 'time', 'When the circuit in place was set up.', {
      path: ['loaded', 'circuitSince'],
      past: true,
      width: 145,
    }),
    field('windows', 'Available', 'fixed', 'When it is available is on the sheet Machine availability.', {
      width: 110,
      show: ({ value }) =>
        Array.isArray(value.available) ? countText(value.available.length, 'window') : 'always',
    }),
  ],
  fresh: (scenario, above) => ({
    id: named(scenario.machines, 'id', 'M1', above),
    ...likeAbove(above, 'flow', 'positions', 'water', 'baths'),
  }),
};

const hours: Sheet = {
  id: 'hours',
  title: 'Machine availability',
  one: 'window',
  about: 'When a machine may be used. A machine without rows here is always available.',
  ...NESTED.hours,
  rows: nestedRows('hours'),
  fields: [
    field('owner', 'Machine', 'choice', 'Which machine.', {
      choices: ids('machines'),
      ...needed(100),
      show: ({ owner }) => owner ?? '',
    }),
    field('from', 'From', 'time', 'Available from.', needed(145)),
    field('to', 'To', 'time', 'Available to.', needed(145)),
  ],
  fresh: () => ({}),
};

const ion = (key: Solute, header: string): Field =>
  field(
    key,
    header,
    'number',
    `${header} of the finished dialysate. Any unit of the label may be typed, e.g. ${key === 'glucose' ? 'mmol/L or mg/dL' : 'mmol/L or mEq/L'}.`,
    { unit: unitOf(key), solute: key, width: alsoAs(key, 1) === '' ? 115 : 150 },
  );

/** A bath's composition as its row holds it; null while any of it holds text. */
const bathOf = ({ value }: Row): Bath | null =>
  [...IONS, 'glucose'].every((key) => value[key] == null || typeof value[key] === 'number')
    ? (value as Bath)
    : null;
const without = (missing: readonly string[]): string => `no ${missing.join(', ')} typed`;

/** What a bath lacks, in letters that are not overlooked. */
const lacks: Field = field('lacks', 'Mind', 'fixed', 'What the bath does not hold at all.', {
  path: [],
  width: 170,
  show: (row) => lackingText(row.value),
});

/** What follows from a bath's composition. */
const judged: readonly Field[] = [
  field(
    'charge',
    'Charge balance',
    'fixed',
    'Positive less negative ions; 0 where all are typed exactly. Above 5 one is likely mistyped.',
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
  field('osmolarity', 'Osmolarity', 'fixed', 'Sum of all that is dissolved, each particle counted as one.', {
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
  }),
  ...[25, 37].map((celsius) =>
    field(
      `conductivity${celsius}`,
      `Expected at ${celsius} °C`,
      'fixed',
      'Conductivity to expect of this composition. It cannot tell baths apart that differ in potassium alone.',
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

const bathSheet: Sheet = {
  id: 'baths',
  title: 'Baths',
  one: 'bath',
  about: 'Dialysate baths. You may set the tint. Letter and pattern stay with the bath on every picture.',
  list: 'baths',
  rows: listRows('baths'),
  fields: [
    field('id', 'Bath', 'text', 'Name of the bath.', needed(100)),
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
    field('tint', 'Tint', 'text', 'Color on pictures, as #rrggbb. Empty: a color of the palette.', {
      fallback: always('from the palette'),
      width: 105,
    }),
  ],
  fresh: (scenario, above) => ({ id: named(scenario.baths, 'id', '2K', above) }),
};

const waterSheet: Sheet = {
  id: 'water',
  title: 'Water',
  one: 'water source',
  about: 'Treated water. Total chlorine tests follow the site’s procedure. The plan only gives them time.',
  list: 'water',
  rows: listRows('water'),
  fields: [
    field('id', 'Source', 'text', 'Name of the source.', needed(100)),
    field('capacity', 'Capacity', 'number', 'Water for all its machines together.', {
      unit: 'mL/min',
      ...needed(120),
    }),
    field('testEvery', 'Test every', 'integer', 'How long a total chlorine test stays valid.', {
      unit: 'min',
      ...needed(110),
    }),
    field('testMinutes', 'Test takes', 'integer', 'Technician time of one test.', {
      unit: 'min',
      ...needed(110),
    }),
    field('lastTest', 'Last test', 'time', 'When the last total chlorine test before the start ended.', {
      fallback: always('none yet'),
      past: true,
      width: 145,
    }),
  ],
  fresh: (scenario, above) => ({
    id: named(scenario.water, 'id', 'RO-A', above),
    ...likeAbove(above, 'capacity', 'testEvery', 'testMinutes'),
  }),
};

const shifts: Sheet = {
  id: 'shifts',
  title: 'Shifts',
  one: 'shift',
  about:
    'Technicians for hands-on work. Shifts that overlap add up. A shift that ends before it starts runs past midnight.',
  list: 'shifts',
  rows: listRows('shifts'),
  fields: [
    field('id', 'Shift', 'text', 'Name of the shift.', needed(100)),
    field('from', 'From', 'clock', 'Time of day it begins.', needed(85)),
    field('to', 'To', 'clock', 'Time of day it ends.', needed(85)),
    field('technicians', 'Technicians', 'integer', 'Technicians for hands-on work.', needed(110)),
    field('dates', 'Only on', 'list', 'Dates on which it begins, separated by commas.', {
      fallback: always('every day'),
      width: 240,
    }),
  ],
  fresh: (scenario, above) => ({
    id: named(scenario.shifts, 'id', 'day', above),
    ...likeAbove(above, 'from', 'to', 'technicians'),
  }),
};

const duties: Sheet = {
  id: 'duties',
  title: 'Duties',
  one: 'duty',
  about: 'Work that recurs at times of day: disinfection, sampling, calibration, breaks.',
  list: 'duties',
  rows: listRows('duties'),
  fields: [
    field('id', 'Duty', 'text', 'Name of the duty.', needed(130)),
    field('place', 'Place', 'choice', 'A machine or a water source. Empty: a break, or work elsewhere.', {
      choices: (scenario) => [...ids('machines')(scenario), ...water(scenario)],
      fallback: always('none'),
      width: 100,
    }),
    field('times', 'Due at', 'clocks', 'Times of day, separated by commas.', needed(130)),
    field('dates', 'Only on', 'list', 'Dates on which it is due, separated by commas.', {
      fallback: always('every day'),
      width: 200,
    }),
    field('minutes', 'Takes', 'integer', 'How long it takes.', { unit: 'min', ...needed(90) }),
    field('slackMinutes', 'May begin later by', 'integer', 'It begins when due, or up to so much later.', {
      unit: 'min',
      fallback: always('0'),
      width: 120,
    }),
    field('technicians', 'Technicians', 'integer', 'Technicians at it throughout.', {
      fallback: always('0'),
      width: 110,
    }),
    field('flow', 'Water drawn', 'number', 'What it draws from the water source.', {
      unit: 'mL/min',
      fallback: always('0'),
      width: 115,
    }),
    field('endsCircuit', 'Ends the circuit', 'flag', 'yes: the machine needs a new circuit afterwards.', {
      choices: () => ['yes', 'no'],
      fallback: always('no'),
      width: 105,
    }),
    field('voidsTests', 'Voids tests', 'flag', 'yes: the water needs a new test afterwards.', {
      choices: () => ['yes', 'no'],
      fallback: always('no'),
      width: 100,
    }),
  ],
  fresh: (scenario, above) => ({ id: named(scenario.duties ?? [], 'id', 'duty-1', above) }),
};

const lots = (id: 'stock' | 'deliveries', title: string, one: string, about: string, ready: Rest): Sheet => ({
  id,
  title,
  one,
  about,
  list: id,
  rows: listRows(id),
  fields: [
    field('lot', 'Lot', 'text', 'Name of the lot.', needed(110)),
    bath('Bath of its bags.', needed(90)),
    field('bags', 'Bags', 'integer', 'How many bags.', needed(80)),
    field('litres', 'Volume per bag', 'number', 'Liters in one bag.', { unit: 'L', ...needed(95) }),
    field(
      'ready',
      'Ready',
      'time',
      'From when its bags may leave. Only stock ready at the start serves the opening round.',
      {
        width: 145,
        ...ready,
      },
    ),
    field(
      'expires',
      'Expires',
      'time',
      'A lot serves a bag round only if it expires after that round’s last hang.',
      {
        fallback: always('never'),
        width: 145,
      },
    ),
  ],
  fresh: (scenario, above) => ({
    lot: named(scenario[id] ?? [], 'lot', id === 'stock' ? 'S-1' : 'D-1', above),
    ...likeAbove(above, 'bath', 'litres'),
  }),
});

const supplies: Sheet = {
  id: 'supplies',
  title: 'Supplies',
  one: 'supply',
  about: 'What making dialysate uses up. It is used when the work that needs it starts.',
  list: 'supplies',
  rows: listRows('supplies'),
  fields: [
    field('item', 'Item', 'text', 'Name, with its unit if it is not counted in pieces.', needed(140)),
    field('onHand', 'On hand', 'number', 'There at the start, in the item’s own unit.', needed(95)),
    field('perCircuit', 'Per circuit', 'number', 'Used by each new circuit.', {
      fallback: always('0'),
      width: 100,
    }),
    field('perFill', 'Per fill', 'number', 'Used by each fill.', { fallback: always('0'), width: 90 }),
    field(
      'perLitre',
      'Per liter',
      'number',
      'Used by each liter of dialysate, also during bath changes and new circuits.',
      {
        fallback: always('0'),
        width: 100,
      },
    ),
    bath('Used by this bath only.', { fallback: always('all'), width: 85 }),
    field('deliveriesCount', 'Deliveries', 'fixed', 'Deliveries are on the sheet Supply deliveries.', {
      width: 100,
      show: ({ value }) =>
        Array.isArray(value.deliveries) && value.deliveries.length > 0 ? String(value.deliveries.length) : '',
    }),
  ],
  fresh: (scenario, above) => ({ item: named(scenario.supplies ?? [], 'item', 'empty bag', above) }),
};

const supplyDeliveries: Sheet = {
  id: 'supplyDeliveries',
  title: 'Supply deliveries',
  one: 'delivery',
  about: 'Supplies that arrive during the plan.',
  ...NESTED.supplyDeliveries,
  rows: nestedRows('supplyDeliveries'),
  fields: [
    field('owner', 'Item', 'choice', 'Which supply.', {
      choices: items,
      ...needed(140),
      show: ({ owner }) => owner ?? '',
    }),
    field('at', 'At', 'time', 'When it arrives.', needed(145)),
    field('quantity', 'Quantity', 'number', 'How much, in the item’s own unit.', needed(100)),
  ],
  fresh: () => ({}),
};

const offers: Sheet = {
  id: 'offers',
  title: 'What could be had',
  one: 'offer',
  about:
    'What you could get: the order list of Capacity buys only of these. Without rows everything can be had and counts 1.',
  list: 'offers',
  rows: listRows('offers'),
  fields: [
    field('id', 'Offer', 'text', 'Name of the offer, e.g. loan Monday to Friday.', needed(160)),
    field('kind', 'Kind', 'choice', 'machine, water, technicians, supply or bags.', {
      choices: () => OFFER_KINDS,
      ...needed(110),
    }),
    field(
      'of',
      'Like or for',
      'choice',
      'The machine it is like, or its water source, shift, supply or bath.',
      {
        choices: (scenario) => [
          ...new Set(OFFER_KINDS.flatMap((kind) => offerNames(scenario, kind).map(String))),
        ],
        ...needed(130),
      },
    ),
    field(
      'pack',
      'Pack',
      'number',
      'Smallest amount: machines, mL/min, technicians, the item’s unit or bags.',
      {
        fallback: always('1'),
        width: 80,
      },
    ),
    field('price', 'Price of a pack', 'number', 'In your money, or as a weight; all offers in the same.', {
      fallback: always('weight 1'),
      width: 115,
    }),
    field('leadDays', 'Lead time', 'number', 'Days from the start of the plan until it is there.', {
      unit: 'days',
      fallback: always('0'),
      width: 105,
    }),
    field('most', 'At most', 'integer', 'No more packs than these can be had.', {
      unit: 'packs',
      fallback: always('no limit'),
      width: 105,
    }),
    field(
      'weekdays',
      'Days of the week',
      'list',
      'A machine or technician is there only on these days: Mon, Tue ...',
      {
        choices: () => WEEKDAYS,
        fallback: always('every day'),
        width: 170,
      },
    ),
    field('litres', 'Volume of a bag', 'number', 'What a purchased bag holds.', {
      unit: 'L',
      fallback: always('minimum fill volume'),
      width: 125,
    }),
    field('keepsHours', 'Keeps', 'number', 'A purchased bag expires so long after it is there.', {
      unit: 'h',
      fallback: always('never expires'),
      width: 105,
    }),
  ],
  fresh: (scenario, above) => ({
    id: named(scenario.offers ?? [], 'id', 'offer 1', above),
    ...likeAbove(above, 'kind'),
  }),
};

export const LISTS: readonly Sheet[] = [
  patients,
  changes,
  bathSheet,
  machines,
  hours,
  waterSheet,
  shifts,
  duties,
  lots('stock', 'Stock', 'lot', 'Bags there at the start, made here or bought.', {
    fallback: always('at the start'),
  }),
  lots('deliveries', 'Deliveries', 'lot', 'Bags that arrive during the plan.', { required: true }),
  supplies,
  supplyDeliveries,
  offers,
];
