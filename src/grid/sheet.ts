import type { Scenario } from '../scenario/schema.ts';
import { NESTED, type NestedId } from '../scenario/unassigned.ts';
import type { Solute } from './readIon.ts';

export type Path = readonly (string | number)[];
/**
 * How a cell is typed and shown. clock: a time of day, 06:00. time: a local date-time. list: texts between commas.
 * flag: yes or no. numbers: numbers between commas, spaces or line ends. series: the same, or one number alone. fixed: not for typing.
 */
export type Kind =
  | 'text'
  | 'number'
  | 'integer'
  | 'numbers'
  | 'series'
  | 'time'
  | 'clock'
  | 'choice'
  | 'list'
  | 'clocks'
  | 'flag'
  | 'fixed';

export interface Field {
  /** Unique in its sheet. */
  readonly key: string;
  readonly header: string;
  /** Another header where a rule of the scenario changes what the field means. */
  readonly heading?: (scenario: Scenario) => string;
  /** As the header shows it and as a typed quantity is converted to it, e.g. mL/kg/h. */
  readonly unit?: string;
  readonly kind: Kind;
  /** Other ways of writing the unit that mean the same number, e.g. h/day beside h. */
  readonly spellings?: readonly string[];
  /** An amount in a litre of a bath: its units go by its charge. */
  readonly solute?: Solute;
  /** Names a bath: its potassium alone chooses it, where only one has that. */
  readonly byPotassium?: boolean;
  /** A time that lies behind: without a date it is the last such one, not the next. */
  readonly past?: boolean;
  /** Where the value is, from the row on. */
  readonly path: Path;
  readonly required?: boolean;
  /** Texts a choice or a list may hold. */
  readonly choices?: (scenario: Scenario) => readonly string[];
  /** What stands beside a choice in the list, e.g. what a bath holds. */
  readonly choiceNote?: (choice: string, scenario: Scenario) => string;
  /** What applies while the cell is empty. */
  readonly fallback?: (scenario: Scenario) => string;
  /** One sentence for the header's tooltip, with the source of any usual range. */
  readonly about: string;
  /** px at zoom 100 % */
  readonly width?: number;
  /** A number is shown, though none is typed: it stands at the right. */
  readonly numeric?: true;
  /** A fixed cell's text. */
  readonly show?: (row: Row, scenario: Scenario) => string;
}

export interface Row {
  /** Stable while rows are only edited, not inserted. */
  readonly key: string;
  /** Where the row is in the scenario. */
  readonly at: Path;
  readonly value: Readonly<Record<string, unknown>>;
  /** The row this one belongs to, e.g. the patient of a change. */
  readonly owner?: string;
  /** A form's row: the field that its value column edits. */
  readonly field?: Field;
}

export interface Sheet {
  readonly id: string;
  readonly title: string;
  /** What one row is, for labels: 'patient'. */
  readonly one: string;
  readonly about: string;
  readonly fields: readonly Field[];
  /** Rows in the scenario's order; row objects are the same as long as their values are. */
  readonly rows: (scenario: Scenario) => readonly Row[];
  /** Where its rows live: a list of the scenario, or a list inside each row of one. Absent: a form, no rows to add. */
  readonly list?: string;
  readonly nested?: string;
  /** The field that a nested row's owner is named by. */
  readonly ownerKey?: string;
  /** A new row's value, given the rows there are. */
  readonly fresh?: (scenario: Scenario, above: Row | undefined) => Record<string, unknown>;
}

/** The value at a path, undefined where the path ends early. */
export function valueAt(root: unknown, path: Path): unknown {
  let value = root;
  for (const key of path) {
    if (value === null || typeof value !== 'object') return undefined;
    value = (value as Record<string | number, unknown>)[key];
  }
  return value;
}

/** Writes into a draft; undefined takes the key away, and objects that this leaves empty with it. Makes what is missing. */
export function writeAt(root: object, path: Path, value: unknown): void {
  const [key, ...rest] = path;
  if (key === undefined) return;
  const holder = root as Record<string | number, unknown>;
  if (rest.length === 0) {
    if (value === undefined) delete holder[key];
    else holder[key] = value;
    return;
  }
  const before = holder[key];
  const wantsList = typeof rest[0] === 'number';
  // A list where fields belong (or the other way round) gives way: what is typed last counts.
  if (before === null || typeof before !== 'object' || (Array.isArray(before) && !wantsList)) {
    if (value === undefined) return;
    holder[key] = wantsList ? [] : {};
  }
  const inner = holder[key] as object;
  writeAt(inner, rest, value);
  if (value !== undefined || Object.keys(inner).length > 0) return;
  // No hole in a list.
  if (Array.isArray(root)) root.splice(Number(key), 1);
  else delete holder[key];
}

export const pathText = (path: Path): string => path.join('.');

const seen = new WeakMap<object, Row>();

/** A row object for a value, the same one as before while value, place and owner are the same. */
function rowFor(value: Record<string, unknown>, at: Path, owner?: string): Row {
  const key = pathText(at);
  const before = seen.get(value);
  if (before && before.key === key && before.owner === owner) return before;
  const row: Row = { key, at, value, owner };
  seen.set(value, row);
  return row;
}

const listAt = (holder: unknown, ...path: string[]): Record<string, unknown>[] => {
  const list = valueAt(holder, path);
  return Array.isArray(list) ? (list as Record<string, unknown>[]) : [];
};
const ownerOf = (value: Record<string, unknown>): string => String(value.owner ?? '');

/** Rows of a list of the scenario. */
export const listRows =
  (list: string) =>
  (scenario: Scenario): readonly Row[] =>
    listAt(scenario, list).map((value, index) => rowFor(value, [list, index]));

/** Rows of such a list with the outer row's name as owner; last those that have no owner yet. */
export const nestedRows = (sheet: NestedId) => {
  const { list, nested, ownerKey } = NESTED[sheet];
  return (scenario: Scenario): readonly Row[] => [
    ...listAt(scenario, list).flatMap((outer, index) =>
      listAt(outer, nested).map((value, inner) =>
        rowFor(value, [list, index, nested, inner], String(outer[ownerKey] ?? '')),
      ),
    ),
    ...listAt(scenario, 'unassigned', sheet).map((value, index) =>
      rowFor(value, ['unassigned', sheet, index], ownerOf(value)),
    ),
  ];
};
