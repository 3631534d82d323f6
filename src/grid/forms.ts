import { DEFAULT_RULES } from '../scenario/problem/rules.ts';
import type { Scenario } from '../scenario/schema.ts';
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
): Line => {
  const value = DEFAULT_RULES[key];
  return [`rules.${key}`, label, unit, kind, about, Array.isArray(value) ? value.join(', ') : String(value)];
};
const CP = 'Common practice, no source.';

const RULE_LINES: readonly Line[] = [
  ['title', 'Title', undefined, 'text', 'Stands on every page.'],
  [
    'timeZone',
    'Time zone',
    undefined,
    'text',
    'IANA name, e.g. America/Chicago; all times here are local to it.',
  ],
  ['start', 'Plan starts', undefined, 'time', 'First minute that is planned.'],
  ['days', 'Plan lasts', 'day', 'integer', 'So many times 24 h from the start, also across a clock change.'],
  rule('fillLitres', 'Minimum fill volume', 'L', 'number', CP),
  rule('maxLitres', 'Maximum fill volume', 'L', 'number', 'It must be off the machine before it holds more.'),
  rule('circuitHours', 'Circuit life', 'h', 'number', CP),
  rule(
    'shelfHours',
    'Shelf life',
    'h',
    'number',
    `From the end of its fill. ${CP.slice(0, -1)} (5 days); published tests of stored fluid known to us end at 48 h. The site's own procedure decides.`,
  ),
  rule('stabiliseMinutes', 'Flow after a bath change', 'min', 'integer', `Before a sample is taken. ${CP}`),
  rule('sampleMinutes', 'Sample', 'min', 'integer', 'Take it, read it, write it down.'),
  rule('swapMinutes', 'Swap', 'min', 'integer', 'Full bags off, sealed, labelled; empty bags on.'),
  rule(
    'circuitMinutes',
    'Circuit change',
    'min',
    'integer',
    'Old circuit off, self-test, new one primed, sample read.',
  ),
  rule('releaseMinutes', 'Release', 'min', 'integer', 'From the end of the swap until the bags may leave.'),
  rule('rounds', 'Bag rounds leave at', undefined, 'clocks', 'Times of day, between commas.'),
  rule('leadMinutes', 'Lead time', 'min', 'integer', 'From the bag round until a bag can hang.'),
  rule('maxHangHours', 'Maximum hang time', 'h', 'number', 'Then it is discarded.'),
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
    'For the law sample: values seen, between commas or pasted from a column; each is as likely as the others.',
  ],
  [`forecast.${key}.min`, `${label}: least`, unit, 'number', 'Drawn again when below.'],
  [`forecast.${key}.max`, `${label}: most`, unit, 'number', 'Drawn again when above.'],
];

const FORECAST_LINES: readonly Line[] = [
  ['forecast.days', 'Days looked ahead', 'day', 'integer', 'Days of each simulated run.', '30'],
  ['forecast.draws', 'Simulated runs', undefined, 'integer', 'How many simulated runs.', '10000'],
  ['forecast.seed', 'Seed', undefined, 'integer', 'Same seed, same runs.', '1'],
  [
    'forecast.confidence',
    'Service level',
    undefined,
    'number',
    'Share of the runs without a shortage, 0 to 1.',
    '0.95',
  ],
  [
    'forecast.startsPerDay',
    'New patients per day',
    'per day',
    'series',
    'Mean of a day: one number, or one a day between commas or pasted from a column; the last one goes on.',
  ],
  [
    'forecast.startsPerDay.first',
    'Or growth: at first',
    'per day',
    'number',
    'New patients per day at the start; then doubling up to the peak, halving after it. Takes the place of the line above.',
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
  ...law('dose', 'Effluent dose (prescribed)', 'mL/kg/h', 'Prescribed effluent of new patients.'),
  [
    'forecast.doseCap',
    'Effluent dose at most',
    'mL/kg/h',
    'number',
    'No new patient is drawn above it. Empty: no cap.',
  ],
  ...law('hoursPerDay', 'Therapy hours per day', 'h', 'Hours of therapy in 24 h.'),
  [
    'forecast.hoursCap',
    'Therapy hours per day at most',
    'h',
    'number',
    'Hours in 24 h. No new patient is drawn above it.',
  ],
  ...law('fluidRemoval', 'Net fluid removal', 'mL/h', 'Net ultrafiltration, part of the effluent.'),
  ...law(
    'replacement',
    'Replacement fluid',
    'mL/h',
    'Replacement fluid, part of the effluent, never made in house.',
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
    'Chance that a technician is absent from a shift, 0 to 1.',
    '0',
  ],
  [
    'forecast.listed',
    'Listed patients',
    undefined,
    'choice',
    "'as listed' or 'by stay': end by what is left of a drawn stay.",
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
    about: 'What the value is.',
    width: 210,
    show: ({ field }) => field?.header ?? '',
  },
  { key: 'value', header: 'Value', kind: 'text', path: [], about: 'Empty: the default.', width: 190 },
  {
    key: 'unit',
    header: 'Unit',
    kind: 'fixed',
    path: [],
    about: 'Any unit of the same kind may be typed.',
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

/** One row for each bath's reserve. */
const reserves = (scenario: Scenario): Field[] =>
  scenario.baths.map(({ id }) => ({
    ...asField([
      `rules.reserve.${id}`,
      `Reserve of ${id}`,
      'bag',
      'number',
      'Bags wanted in stock at the end, still good for 24 h then.',
      '0',
    ]),
    path: ['rules', 'reserve', String(id)],
  }));

/** Shares of baths by day of therapy, rows for each step that is given and for one more to type. */
const shares = (scenario: Scenario): Field[] =>
  [...(scenario.forecast?.bathByDay ?? []), null].flatMap((_, index) => [
    asField([
      `forecast.bathByDay.${index}.fromDay`,
      `Shares ${index + 1}: from day`,
      'day',
      'number',
      'Day of therapy from which these shares hold.',
    ]),
    ...scenario.baths.map(({ id }) => ({
      ...asField([
        `forecast.bathByDay.${index}.share.${id}`,
        `Shares ${index + 1}: ${id}`,
        undefined,
        'number',
        'Part of the patients on this bath, 0 to 1.',
      ]),
      path: ['forecast', 'bathByDay', index, 'share', String(id)],
    })),
  ]);

const RULE_FIELDS = RULE_LINES.map(asField);
const FORECAST_FIELDS = FORECAST_LINES.map(asField);

/** Single values: a form is a sheet with one row a value. */
export const FORMS: readonly Sheet[] = [
  {
    id: 'rules',
    title: 'Plan and rules',
    one: 'rule',
    about: 'The time that is planned and the rules of the site. An empty value means the default.',
    fields: COLUMNS,
    rows: (scenario) => formRows(scenario, [...RULE_FIELDS, ...reserves(scenario)]),
  },
  {
    id: 'forecast',
    title: 'Forecast',
    one: 'assumption',
    about:
      'Patients who are not here yet: assumptions for the capacity questions. They do not change the plan.',
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
