import type { Fault } from '../scenario/faults.ts';
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
    if (row) return { sheet: form.id, row: row.key, field: 'value' };
  }
  const whole = SHEETS.find((one) => one.list === path[0]);
  return whole ? { sheet: whole.id, row: '', field: whole.fields[0]!.key } : null;
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
    return [{ level: 'error', path, message, hint: problem }];
  });
  if (sheet.list) known.set(row, faults);
  return faults;
}

/** Cells that hold text where a number or a time belongs, as it was typed, with what was expected. */
export const typedFaults = (scenario: Scenario): Fault[] =>
  SHEETS.flatMap((sheet) => sheet.rows(scenario).flatMap((row) => faultsOfRow(sheet, row, scenario)));
