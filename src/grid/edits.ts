import type { Scenario } from '../scenario/schema.ts';
import { tidy } from '../scenario/tidy.ts';
import { adopt, type Home, listOf } from '../scenario/unassigned.ts';
import { type Manner, readCell } from './cells.ts';
import type { Recipe } from './history.ts';
import { newName, renameReferences } from './renaming.ts';
import { type Field, type Row, type Sheet, valueAt, writeAt } from './sheet.ts';

export interface CellEdit {
  readonly row: Row;
  readonly field: Field;
  readonly text: string;
}
type Values = Record<string, unknown>;

function write(
  row: Values,
  { field, text }: Pick<CellEdit, 'field' | 'text'>,
  scenario: Scenario,
  manner?: Manner,
): void {
  const { value, typed } = readCell(field, text, scenario, manner);
  const before = valueAt(row, field.path);
  // An empty cell whose fields stand in rows of their own: emptying it again must not take those away.
  if (value === undefined && before !== null && typeof before === 'object' && !Array.isArray(before)) return;
  writeAt(row, field.path, value);
  writeAt(row, ['typed', field.key], typed);
}

const isOwner = (sheet: Sheet, field: Field): boolean => sheet.nested !== undefined && field.key === 'owner';

/** Where rows of a nested sheet are until it is known whose they are. */
function waitingList(draft: Scenario, sheet: Sheet): Values[] {
  draft.unassigned ??= {};
  if (!Array.isArray(draft.unassigned[sheet.id])) draft.unassigned[sheet.id] = [];
  return draft.unassigned[sheet.id] as Values[];
}

/** Goes to the end of its owner's list; without one, or with one that is not listed, it waits under the name as typed. */
function giveTo(draft: Scenario, sheet: Sheet, row: Values, from: Values[], owner: string): void {
  const waits = draft.unassigned?.[sheet.id] === from;
  const to = listOf(draft, sheet as Home, owner) ?? waitingList(draft, sheet);
  if (draft.unassigned?.[sheet.id] === to) writeAt(row, ['owner'], owner || undefined);
  else if (waits) delete row.owner;
  if (to === from) return;
  to.push(row);
  from.splice(from.indexOf(row), 1);
  dropEmpty(draft, sheet, from);
}

const listHolding = (draft: Scenario, row: Row): Values[] => valueAt(draft, row.at.slice(0, -1)) as Values[];

/** Old key -> new key of rows: an edit may move one from owner to owner. */
export type Trail = Map<string, string>;

/**
 * Writes many cells in one act. A label typed anew takes what refers to its row along. A changed owner moves its row to the end of the new owner's list.
 * @param trail is filled
 * @param manner how what is left out in a text is meant
 */
export function setCells(sheet: Sheet, edits: readonly CellEdit[], trail?: Trail, manner?: Manner): Recipe {
  return (draft) => {
    const moves: { row: Values; from: Values[]; owner: string }[] = [];
    const [only] = edits;
    const named =
      only && edits.length === 1 && only.field.key === sheet.fields[0]!.key
        ? newName(sheet, only.row, tidy(only.text), draft)
        : null;
    if (named) renameReferences(draft, sheet.list!, named.from, named.to);
    const keys = new Map<unknown, string>();
    for (const { row, field, text } of edits) {
      const target = valueAt(draft, row.at) as Values | undefined;
      const actual = row.field ?? field;
      if (target && !row.field) keys.set(target, row.key);
      if (row.field) {
        if (field.key === 'value') write(draft as Values, { field: actual, text }, draft, manner);
      } else if (target && isOwner(sheet, field)) {
        if (text.trim() !== row.owner)
          moves.push({ row: target, from: listHolding(draft, row), owner: text.trim() });
      } else if (target && field.kind !== 'fixed') write(target, { field, text }, draft, manner);
    }
    for (const { row, from, owner } of moves) giveTo(draft, sheet, row, from, owner);
    adopt(draft);
    if (trail && moves.length > 0)
      for (const { value, key } of sheet.rows(draft)) if (keys.has(value)) trail.set(keys.get(value)!, key);
  };
}

type Listed = Pick<Sheet, 'id' | 'list' | 'nested'>;
/** An absent list means a default (all day, no changes); an emptied one would mean nothing at all. */
function dropEmpty(draft: Scenario, { id, list: outer, nested }: Listed, list: Values[]): void {
  if (!nested || list.length > 0) return;
  for (const row of ((draft as Values)[outer!] ?? []) as Values[])
    if (row[nested] === list) delete row[nested];
  if (draft.unassigned?.[id] === list) writeAt(draft, ['unassigned', id], undefined);
}

/** Rows below `above` (at the end without it), with texts for their first fields, e.g. the rest of a paste. */
export function addRows(
  sheet: Sheet,
  above: Row | undefined,
  cells: readonly (readonly { readonly field: Field; readonly text: string }[])[],
  manner?: Manner,
): Recipe {
  return (draft) => {
    if (!sheet.list || !sheet.fresh) return;
    let before = above;
    for (const texts of cells) {
      const owner = texts.find(({ field }) => isOwner(sheet, field))?.text.trim() ?? '';
      const list = sheet.nested
        ? (listOf(draft, sheet as Home, owner) ?? waitingList(draft, sheet))
        : ownList(draft, sheet);
      const index = before && !sheet.nested ? Number(before.at.at(-1)) + 1 : list.length;
      list.splice(index, 0, sheet.fresh(draft, before) as Values);
      const row = list[index]!;
      if (owner !== '' && draft.unassigned?.[sheet.id] === list) row.owner = owner;
      for (const { field, text } of texts)
        if (field.kind !== 'fixed' && !isOwner(sheet, field)) write(row, { field, text }, draft, manner);
      before = { key: '', at: [sheet.list, index], value: { ...row } };
    }
    adopt(draft);
  };
}

/** The list of the scenario that the sheet shows; made when there is none. */
function ownList(draft: Scenario, { list }: Sheet): Values[] {
  const holder = draft as Values;
  if (!Array.isArray(holder[list!])) holder[list!] = [];
  return holder[list!] as Values[];
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
