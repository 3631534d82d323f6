import type { Scenario } from '../scenario/schema.ts';
import { readCell } from './cells.ts';
import type { Recipe } from './history.ts';
import { type Field, type Row, type Sheet, valueAt, writeAt } from './sheet.ts';

export interface CellEdit {
  readonly row: Row;
  readonly field: Field;
  readonly text: string;
}
type Values = Record<string, unknown>;

function write(row: Values, field: Field, text: string, scenario: Scenario): void {
  const { value, typed } = readCell(field, text, scenario);
  const before = valueAt(row, field.path);
  // An empty cell whose fields stand in rows of their own: emptying it again must not take those away.
  if (value === undefined && before !== null && typeof before === 'object' && !Array.isArray(before)) return;
  writeAt(row, field.path, value);
  writeAt(row, ['typed', field.key], typed);
}

const isOwner = (sheet: Sheet, field: Field): boolean => sheet.nested !== undefined && field.key === 'owner';
const ownerName = (sheet: Sheet): string => (sheet.list === 'supplies' ? 'item' : 'id');

/** The list inside the owner of this name; made when it has none. Null when nobody has the name. */
function listOf(draft: Scenario, sheet: Sheet, owner: string): Values[] | null {
  const outer = (draft as Values)[sheet.list!] as Values[] | undefined;
  const found = outer?.find((row) => String(row[ownerName(sheet)]) === owner);
  if (!found) return null;
  if (!Array.isArray(found[sheet.nested!])) found[sheet.nested!] = [];
  return found[sheet.nested!] as Values[];
}

const listHolding = (draft: Scenario, row: Row): Values[] => valueAt(draft, row.at.slice(0, -1)) as Values[];

/** Writes many cells in one act. A changed owner moves its row to the end of the new owner's list. */
export function setCells(sheet: Sheet, edits: readonly CellEdit[]): Recipe {
  return (draft) => {
    const moves: { row: Values; from: Values[]; to: Values[] }[] = [];
    for (const { row, field, text } of edits) {
      const target = valueAt(draft, row.at) as Values | undefined;
      const actual = row.field ?? field;
      if (row.field) {
        if (field.key === 'value') write(draft as Values, actual, text, draft);
      } else if (target && isOwner(sheet, field)) {
        const to = listOf(draft, sheet, text.trim());
        const from = listHolding(draft, row);
        if (to && to !== from) moves.push({ row: target, from, to });
      } else if (target && field.kind !== 'fixed') write(target, field, text, draft);
    }
    for (const { row, from, to } of moves) {
      to.push(row);
      from.splice(from.indexOf(row), 1);
    }
    for (const list of new Set(moves.map(({ from }) => from))) dropEmpty(draft, sheet, list);
  };
}

/** An absent list means a default (all day, no changes); an emptied one would mean nothing at all. */
function dropEmpty(draft: Scenario, sheet: Sheet, list: Values[]): void {
  if (!sheet.nested || list.length > 0) return;
  for (const outer of (draft as Values)[sheet.list!] as Values[])
    if (outer[sheet.nested] === list) delete outer[sheet.nested];
}

/** Rows below `above` (at the end without it), with texts for their first fields, e.g. the rest of a paste. */
export function addRows(
  sheet: Sheet,
  above: Row | undefined,
  cells: readonly (readonly { readonly field: Field; readonly text: string }[])[],
): Recipe {
  return (draft) => {
    if (!sheet.list || !sheet.fresh) return;
    let before = above;
    let index = above ? Number(above.at.at(-1)) : Number.NaN;
    for (const texts of cells) {
      const given = texts.find(({ field }) => isOwner(sheet, field))?.text.trim();
      const outer = ((draft as Values)[sheet.list] ?? []) as Values[];
      const owner = given || before?.owner || String(outer[0]?.[ownerName(sheet)] ?? '');
      let list: Values[] | null;
      if (sheet.nested) list = listOf(draft, sheet, owner);
      else {
        if (!Array.isArray((draft as Values)[sheet.list])) (draft as Values)[sheet.list] = [];
        list = (draft as Values)[sheet.list] as Values[];
      }
      if (!list) continue;
      const sameList = before && (!sheet.nested || before.owner === owner);
      index = sameList && !Number.isNaN(index) ? index + 1 : list.length;
      const fresh = sheet.fresh(draft, before) as Values;
      list.splice(index, 0, fresh);
      const row = list[index]!;
      for (const { field, text } of texts)
        if (field.kind !== 'fixed' && !isOwner(sheet, field)) write(row, field, text, draft);
      before = { key: '', at: [sheet.list, index], value: { ...row }, owner };
    }
  };
}

/** A copy below each row, under a free name. */
export function duplicateRows(sheet: Sheet, rows: readonly Row[]): Recipe {
  return (draft) => {
    const shifts = new Map<Values[], number>();
    for (const row of inFallingOrder(rows).reverse()) {
      const list = listHolding(draft, row);
      const shift = shifts.get(list) ?? 0;
      const copy = JSON.parse(JSON.stringify(row.value)) as Values;
      const key = sheet.nested ? undefined : sheet.fields[0]!.key;
      if (key) copy[key] = freeName(list, key, String(copy[key] ?? sheet.one));
      list.splice(Number(row.at.at(-1)) + shift + 1, 0, copy);
      shifts.set(list, shift + 1);
    }
  };
}

export function deleteRows(sheet: Sheet, rows: readonly Row[]): Recipe {
  return (draft) => {
    for (const row of inFallingOrder(rows)) {
      const list = listHolding(draft, row);
      list.splice(Number(row.at.at(-1)), 1);
      dropEmpty(draft, sheet, list);
    }
  };
}

/** The last row first, so that the places of the others stay right. */
const inFallingOrder = (rows: readonly Row[]): Row[] =>
  [...rows].sort((a, b) => Number(b.at.at(-1)) - Number(a.at.at(-1)));

/** The next name of the kind that the list does not have: bed-04 becomes bed-05. */
export function freeName(list: readonly Values[], key: string, like: string): string {
  const taken = new Set(list.map((row) => String(row[key])));
  const [, stem = like, digits = ''] = /^(.*?)(\d*)$/.exec(like) ?? [];
  for (let n = Number(digits || 1) + 1; ; n++) {
    const name = digits ? stem + String(n).padStart(digits.length, '0') : `${stem}-${n}`;
    if (!taken.has(name)) return name;
  }
}
