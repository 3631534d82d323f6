import { DEFAULT_HANDS, DEFAULT_RULES } from '../scenario/problem/rules.ts';
import type { Scenario } from '../scenario/schema.ts';
import { SLACK_FIELDS } from '../scenario/slackFields.ts';
import { cellText } from './cells.ts';
import { type Field, type Kind, type Path, pathText, type Row, type Sheet } from './sheet.ts';

type Line = readonly [
  path: string,
  label: string,
  unit: string | undefined,
  kind: Kind,
  about: string,
  fallback?: string,
  choices?: readonly string[],
];

const asField = ([path, label, unit, kind, about, fallback, choices]: Line): Field => ({
  key: path,
  header: label,
  unit,
  kind,
  path: path.split('.').map((part) => (/^\d+$/.test(part) ? Number(part) : part)),
  about,
  fallback: fallback === undefined ? undefined : () => fallback,
  choices: choices && (() => choices),
});

const rule = (
  key: keyof typeof DEFAULT_RULES,
  label: string,
  unit: string | undefined,
  kind: Kind,
  about: string,
) => {
  const value = DEFAULT_RULES[key];
  return [
    `rules.${key}`,
    label,
    unit,
    kind,
    about,
    Array.isArray(value) ? value.join(', ') : String(value),
  ] as const;
};
const CP = 'Common practice, no source.';

const RULE_LINES: readonly Line[] = [
  ['title', 'Title', undefined, 'text', 'It is printed on every page.'],
  [
    'timeZone',
    'Time zone',
    undefined,
    'text',
    'IANA name, e.g. America/Chicago. All times here are local to it.',
  ],
  ['start', 'Plan starts', undefined, 'time', 'First minute of the plan.'],
  ['days', 'Plan lasts', 'day', 'integer', 'Days of 24 h from the start, also across a clock change.'],
  rule('fillLitres', 'Minimum fill volume', 'L', 'number', CP),
  rule('maxLitres', 'Maximum fill volume', 'L', 'number', 'Swap the bags before they hold more.'),
  rule('circuitHours', 'Circuit life', 'h', 'number', CP),
  rule(
    'shelfHours',
    'Shelf life',
    'h',
    'number',
    `From the end of the fill. ${CP.slice(0, -1)} (5 days). Published tests known to us end at 48 h. The site's own procedure decides.`,
  ),
  rule(
    'stabiliseMinutes',
    'Stabilization after a bath change',
    'min',
    'integer',
    `Flow before a sample is taken. ${CP}`,
  ),
  rule('sampleMinutes', 'Sampling', 'min', 'integer', 'Take the sample, read it, write it down.'),
  rule(
    'swapMinutes',
    'Bag swap',
    'min',
    'integer',
    'Take full bags off, seal and label them, put empty bags on.',
  ),
  rule(
    'circuitMinutes',
    'New circuit',
    'min',
    'integer',
    'Take the old circuit off, self-test, prime the new one, read a sample.',
  ),
  rule(
    'releaseMinutes',
    'Release',
    'min',
    'integer',
    'From the end of the bag swap until the bags may leave.',
  ),
  rule('rounds', 'Bag rounds leave at', undefined, 'clocks', 'Times of day, separated by commas.'),
  rule('leadMinutes', 'Lead time', 'min', 'integer', 'From a bag round to the bedside.'),
  rule('walkMinutes', 'Walk', 'min', 'integer', 'Technicians walk so long to work at another place.'),
  rule(
    'fillStartMinutes',
    'At the start of a fill',
    'min',
    'integer',
    'One technician stays so long at a fill that begins.',
  ),
  ...(['circuit', 'bath', 'swap', 'test'] as const).map((kind): Line => {
    const work = { circuit: 'a new circuit', bath: 'a bath change', swap: 'a bag swap', test: 'a test' }[
      kind
    ];
    return [
      `rules.hands.${kind}`,
      `Technicians for ${work}`,
      undefined,
      'integer',
      'How many technicians it takes throughout.',
      String(DEFAULT_HANDS[kind]),
    ];
  }),
  rule('sampleBags', 'Sample bags', 'bag', 'integer', 'Bags of each fill that go to tests and do not count.'),
  [
    'rules.releaseAfterTest',
    'Release after a total chlorine test',
    undefined,
    'flag',
    'yes: bags also wait for the next test of their water.',
    'no',
    ['yes', 'no'],
  ],
  rule('maxHangHours', 'Maximum hang time', 'h', 'number', 'A bag that has hung so long is discarded.'),
  [
    ...rule(
      'releaseBy',
      'Bags are released by',
      undefined,
      'choice',
      'time: they may leave after the release time. entry: only once somebody has noted their release.',
    ),
    ['time', 'entry'],
  ],
  [
    ...rule(
      'doseMeans',
      'A dose means',
      undefined,
      'choice',
      'effluent: all that leaves the filter, net fluid removal, replacement fluid and citrate included. dialysate: the dialysate alone.',
    ),
    ['effluent', 'dialysate'],
  ],
  rule(
    'steadyMinutes',
    'Steady time',
    'min',
    'integer',
    'Work that begins this soon stays as planned, unless it cannot be done or is unsafe.',
  ),
  rule(
    'chlorineLimit',
    'Total chlorine limit',
    'mg/L',
    'number',
    'A test that shows more has failed. 0.1: CJASN 2015;10(6):1061-1071, Table 4.',
  ),
  rule(
    'conductivityTolerance',
    'Conductivity tolerance',
    undefined,
    'number',
    `Share of the expected conductivity that a measured one may be off, 0 to 1. ${CP}`,
  ),
  rule('pHMin', 'Lowest pH', undefined, 'number', 'A lower pH is outside the limits. A site assumption.'),
  rule('pHMax', 'Highest pH', undefined, 'number', 'A higher pH is outside the limits. A site assumption.'),
  [
    'declined',
    'Declined suggestions',
    undefined,
    'list',
    'Suggestions not to be made again, separated by commas. Empty it to see them again.',
    'none',
  ],
];

const LAWS = ['lognormal', 'gamma', 'weibull', 'normal', 'exponential', 'fixed', 'sample'] as const;
const law = (key: string, label: string, unit: string | undefined, about: string): Line[] => [
  [
    `forecast.${key}.law`,
    `${label}: law`,
    undefined,
    'choice',
    `${about} lognormal, gamma, weibull, normal, exponential, fixed or sample.`,
    undefined,
    LAWS,
  ],
  [`forecast.${key}.mean`, `${label}: mean`, unit, 'number', about],
  [`forecast.${key}.sd`, `${label}: standard deviation`, unit, 'number', about],
  [`forecast.${key}.value`, `${label}: fixed value`, unit, 'number', 'For the law fixed.'],
  [
    `forecast.${key}.values`,
    `${label}: sample`,
    unit,
    'numbers',
    'For the law sample: values seen, separated by commas or pasted from a column. Each is equally likely.',
  ],
  [`forecast.${key}.min`, `${label}: least`, unit, 'number', 'Drawn again when below.'],
  [`forecast.${key}.max`, `${label}: most`, unit, 'number', 'Drawn again when above.'],
];

const FORECAST_LINES: readonly Line[] = [
  ['forecast.days', 'Days looked ahead', 'day', 'integer', 'Days of each simulated run.', '30'],
  ['forecast.draws', 'Simulated runs', undefined, 'integer', 'How many futures are simulated.', '10000'],
  ['forecast.seed', 'Seed', undefined, 'integer', 'The same seed gives the same runs.', '1'],
  [
    'forecast.confidence',
    'Service level',
    undefined,
    'number',
    'Share of runs without a shortage, 0 to 1.',
    '0.95',
  ],
  [
    'forecast.startsPerDay',
    'New patients per day',
    'per day',
    'series',
    'Mean per day: one number, or one number for each day, separated by commas. The last one goes on.',
  ],
  [
    'forecast.startsPerDay.first',
    'Or growth: at first',
    'per day',
    'number',
    'New patients per day at the start. They double up to the peak and halve after it. This replaces the line above.',
  ],
  [
    'forecast.startsPerDay.doublingDays',
    'Growth: doubles in',
    'day',
    'number',
    'Time in which new patients per day double.',
  ],
  [
    'forecast.startsPerDay.peakDay',
    'Growth: peak on day',
    'day',
    'number',
    'Days from the start to the peak. Empty: it goes on growing.',
  ],
  [
    'forecast.startsPerDay.halvingDays',
    'Growth: halves in',
    'day',
    'number',
    'Time in which new patients per day halve after the peak. Empty: they stay at the peak.',
  ],
  ...law('stayDays', 'Length of therapy', 'day', 'Days on therapy.'),
  ...law('weight', 'Weight', 'kg', 'Body weight of new patients.'),
  ...law('dose', 'Dose', 'mL/kg/h', 'Effluent dose (prescribed) of new patients.'),
  ['forecast.doseCap', 'Dose at most', 'mL/kg/h', 'number', 'No new patient gets more. Empty: no cap.'],
  ...law('hoursPerDay', 'Therapy', 'h', 'Hours of therapy in 24 h.'),
  ['forecast.hoursCap', 'Therapy at most', 'h', 'number', 'Hours in 24 h. No new patient gets more.'],
  ...law(
    'fluidRemoval',
    'Net fluid removal',
    'mL/h',
    'Net fluid taken from the patient, part of the effluent.',
  ),
  ...law(
    'replacement',
    'Replacement',
    'mL/h',
    'Licensed sterile fluid, part of the effluent. It is never made here.',
  ),
  [
    'forecast.breakdowns.daysBetween',
    'Breakdowns: days between',
    'day',
    'number',
    'Mean days of work between two breakdowns of a machine.',
  ],
  ['forecast.breakdowns.hoursToRepair', 'Breakdowns: repair', 'h', 'number', 'Mean time to repair.'],
  [
    'forecast.absence',
    'Absence',
    undefined,
    'number',
    'Chance that a technician misses a shift, 0 to 1.',
    '0',
  ],
  [
    'forecast.listed',
    'Listed patients',
    undefined,
    'choice',
    "'as listed', or 'by stay': each leaves after a simulated stay.",
    'as listed',
    ['as listed', 'by stay'],
  ],
];

const COLUMNS: readonly Field[] = [
  {
    key: 'name',
    header: 'What',
    kind: 'fixed',
    path: [],
    about: 'Name of the value.',
    width: 210,
    show: ({ field }) => field?.header ?? '',
  },
  { key: 'value', header: 'Value', kind: 'text', path: [], about: 'Empty means the default.', width: 190 },
  {
    key: 'unit',
    header: 'Unit',
    kind: 'fixed',
    path: [],
    about: 'You may type any unit of the same kind.',
    width: 90,
    show: ({ field }) => field?.unit ?? '',
  },
  {
    key: 'about',
    header: 'Meaning',
    kind: 'fixed',
    path: [],
    about: 'Meaning and source.',
    width: 560,
    show: ({ field }) => field?.about ?? '',
  },
];

const NO_PATH: Path = [];
const formRows = (scenario: Scenario, fields: readonly Field[]): Row[] =>
  fields.map((field) => ({ key: pathText(field.path), at: NO_PATH, value: scenario, field }));

/** One row for each bath: bags wanted of it. */
const wanted =
  (key: 'reserve' | 'minStock', label: string, about: string) =>
  ({ baths }: Scenario): Field[] =>
    baths.map(({ id }) => ({
      ...asField([`rules.${key}.${id}`, `${label} of ${id}`, 'bag', 'number', about, '0']),
      path: ['rules', key, String(id)],
    }));
const reserves = wanted('reserve', 'Reserve', 'Bags wanted in stock at the end that then keep 24 h more.');
const minStocks = wanted('minStock', 'Minimum stock', 'Bags wanted in stock after every bag round.');

/** Shares of baths by day of therapy, rows for each step that is given and for one more to type. */
const shares = (scenario: Scenario): Field[] =>
  [...(scenario.forecast?.bathByDay ?? []), null].flatMap((_, index) => [
    asField([
      `forecast.bathByDay.${index}.fromDay`,
      `Shares ${index + 1}: from day`,
      'day',
      'number',
      'First day of therapy with these shares.',
    ]),
    ...scenario.baths.map(({ id }) => ({
      ...asField([
        `forecast.bathByDay.${index}.share.${id}`,
        `Shares ${index + 1}: ${id}`,
        undefined,
        'number',
        'Share of the patients on this bath, 0 to 1.',
      ]),
      path: ['forecast', 'bathByDay', index, 'share', String(id)],
    })),
  ]);

const RULE_FIELDS = [
  ...RULE_LINES.map(asField),
  ...SLACK_FIELDS.map(({ path, name, unit, help }) =>
    asField([path, name, unit === 'bags' ? 'bag' : unit, 'integer', help, '0']),
  ),
];
const FORECAST_FIELDS = FORECAST_LINES.map(asField);

/** Single values: a form is a sheet with one row a value. */
export const FORMS: readonly Sheet[] = [
  {
    id: 'rules',
    title: 'Plan and rules',
    one: 'rule',
    about: 'The time of the plan and the rules of the site. An empty value means the default.',
    fields: COLUMNS,
    rows: (scenario) => formRows(scenario, [...RULE_FIELDS, ...reserves(scenario), ...minStocks(scenario)]),
  },
  {
    id: 'forecast',
    title: 'Forecast',
    one: 'assumption',
    about: 'Patients to come: assumptions for the capacity questions. They do not change the plan.',
    fields: COLUMNS,
    rows: (scenario) => formRows(scenario, [...FORECAST_FIELDS, ...shares(scenario)]),
  },
];

/** The value cell's own field in a form, else the column's. */
export const actualField = (row: Row, field: Field): Field =>
  row.field && field.key === 'value' ? row.field : field;

/** Text of any cell of a list or a form. */
export const textOf = (field: Field, row: Row, scenario: Scenario): string =>
  cellText(actualField(row, field), row, scenario);
