import { BED_FIELDS } from './bedFields.ts';
import { type Limits, rows, type ScenarioField } from './fieldRows.ts';
import { FLOOR_FIELDS } from './floorFields.ts';
import { RULE_FIELDS } from './ruleFields.ts';
import { SLACK_FIELDS } from './slackFields.ts';
import { STOCK_FIELDS } from './stockFields.ts';

export type { Limits } from './fieldRows.ts';

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
  ...BED_FIELDS,
  ...FLOOR_FIELDS,
  ...STOCK_FIELDS,
  ...RULE_FIELDS,
  ...SLACK_FIELDS,
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
