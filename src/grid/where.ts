import { isLocalTime } from '../calendar/clock.ts';
import { type Fault, rowName } from '../scenario/faults/faults.ts';
import type { Scenario } from '../scenario/schema.ts';
import { cellProblem } from './cells.ts';
import { actualField } from './forms.ts';
import { type Field, type Path, pathText, type Row, type Sheet, valueAt } from './sheet.ts';
import { SHEETS } from './sheets.ts';

/** A cell of a sheet, by the keys of its row and field. */
export interface Place {
  readonly sheet: string;
  readonly row: string;
  readonly field: string;
}

const starts = (path: Path, with_: Path): boolean => with_.every((key, index) => path[index] === key);

/** A row that waits for its owner: unassigned.changes.0. */
const waits = (path: Path): boolean => path[0] === 'unassigned' && typeof path[2] === 'number';
/** The path is in a row of this list sheet: patients.3, patients.3.changes.1, unassigned.changes.0. */
const matches = (sheet: Sheet, path: Path): boolean =>
  waits(path)
    ? sheet.nested !== undefined && sheet.id === path[1]
    : sheet.list === path[0] &&
      typeof path[1] === 'number' &&
      (sheet.nested ? sheet.nested === path[2] && typeof path[3] === 'number' : true);

/** The cell that shows the field at a path of the scenario; null when no sheet does. */
export function placeOfPath(scenario: Scenario, path: Path): Place | null {
  // Nested sheets are more exact than the row that holds them.
  const lists = SHEETS.filter((sheet) => matches(sheet, path)).sort((a) => (a.nested ? -1 : 1));
  const sheet = lists[0];
  if (sheet) {
    const depth = waits(path) ? 3 : sheet.nested ? 4 : 2;
    const rest = path.slice(depth);
    const field =
      sheet.fields.find((one) => one.kind !== 'fixed' && rest.length > 0 && starts(rest, one.path)) ??
      sheet.fields.find((one) => rest.length > 0 && starts(one.path, rest)) ??
      sheet.fields[0]!;
    return { sheet: sheet.id, row: pathText(path.slice(0, depth)), field: field.key };
  }
  for (const form of SHEETS.filter((one) => one.list === undefined)) {
    // The closest one: new patients a day may be one value, or rows of their own for its growth.
    const depth = (one: Row) => one.field?.path.length ?? 0;
    const [row] = form
      .rows(scenario)
      .filter((one) => one.field && starts(path, one.field.path))
      .sort((a, b) => depth(b) - depth(a));
    // Else the first of the rows that a fault of them all together is about, e.g. of shares and their sum.
    const shown = row ?? form.rows(scenario).find((one) => one.field && starts(one.field.path, path));
    if (shown) return { sheet: form.id, row: shown.key, field: 'value' };
  }
  const whole = SHEETS.find((one) => one.list === path[0]);
  return whole ? { sheet: whole.id, row: '', field: whole.fields[0]!.key } : null;
}

/** The cell at which a fault is shown: its own, or, where no sheet shows its field, the first of Plan and rules. */
export function placeOfFault(scenario: Scenario, path: Path): Place {
  const place = placeOfPath(scenario, path);
  if (place) return place;
  const rules = SHEETS.find(({ id }) => id === 'rules')!;
  return { sheet: rules.id, row: rules.rows(scenario)[0]!.key, field: 'value' };
}

const known = new WeakMap<Row, Fault[]>();

function faultsOfRow(sheet: Sheet, row: Row, scenario: Scenario): Fault[] {
  const found = sheet.list ? known.get(row) : undefined;
  if (found) return found;
  const shown: readonly Field[] = row.field ? [row.field] : sheet.fields;
  const faults = shown.flatMap((field): Fault[] => {
    const actual = actualField(row, field);
    const problem =
      actual.kind === 'fixed' || actual.path.length === 0 ? null : cellProblem(actual, row, scenario);
    if (problem === null) return [];
    const path = [...row.at, ...actual.path];
    const message = `${actual.header} is '${String(valueAt(row.value, actual.path))}'`;
    const name = rowName(scenario, path);
    return [{ level: 'error', path, message, hint: problem, ...(name !== undefined && { row: name }) }];
  });
  if (sheet.list) known.set(row, faults);
  return faults;
}

/** Cells that hold text where a number or a time belongs, as it was typed, with what was expected. */
export const typedFaults = (scenario: Scenario): Fault[] =>
  SHEETS.flatMap((sheet) => sheet.rows(scenario).flatMap((row) => faultsOfRow(sheet, row, scenario)));

const MANY = 6;
const oneOf = (choices: readonly string[]): string =>
  `one of ${choices.slice(0, MANY).join(', ')}${choices.length > MANY ? ', ...' : ''}`;

/** What would be right in a cell, as a person types it. */
function typedAs({ kind, unit, choices }: Field, scenario: Scenario): string {
  const known = choices?.(scenario) ?? [];
  switch (kind) {
    case 'time':
      return `a date and time, e.g. ${isLocalTime(scenario.start) ? scenario.start.slice(0, 16).replace('T', ' ') : '2031-02-03 07:00'}`;
    case 'clock':
      return 'a time of day, e.g. 06:00';
    case 'clocks':
      return 'times of day between commas, e.g. 06:00, 18:00';
    case 'number':
      return unit ? `a number, in ${unit}` : 'a number';
    case 'integer':
      return unit ? `a whole number, in ${unit}` : 'a whole number';
    case 'numbers':
      return 'numbers between commas';
    case 'series':
      return 'a number, or several between commas';
    case 'flag':
      return 'yes or no';
    case 'list':
      return 'texts between commas';
    case 'choice':
      return known.length > 0 ? oneOf(known) : 'a name; none is listed yet';
    default:
      return 'a text';
  }
}

/** A fault of the file's shape in the words of the cell it leads to: who types into a sheet writes no file. */
export function inSheetWords(scenario: Scenario, fault: Fault): Fault {
  const place = placeOfPath(scenario, fault.path);
  const sheet = SHEETS.find(({ id }) => id === place?.sheet);
  const column = sheet?.fields.find(({ key }) => key === place?.field);
  const row = sheet?.rows(scenario).find(({ key }) => key === place?.row);
  const field = row && column && actualField(row, column);
  if (!field || pathText([...row.at, ...field.path]) !== pathText(fault.path)) return fault;
  const value = valueAt(scenario, fault.path);
  const missing = value === undefined || value === null || value === '';
  const message = `${field.header} is ${missing ? 'missing' : `'${String(value)}'`}`;
  return { ...fault, message, hint: typedAs(field, scenario) };
}
