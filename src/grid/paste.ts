import type { Scenario } from '../scenario/schema.ts';
import { type Manner, readCell } from './cells.ts';
import { fromClipboard, inUnitOf, isHeaderLine, oneList, placed } from './clipboard.ts';
import { addRows, type CellEdit, setCells, type Trail } from './edits.ts';
import { actualField, textOf } from './forms.ts';
import { isHeadingLine, type LeftOut, leftOutOf, mapHeadings, partHeading } from './headings.ts';
import type { Recipe } from './history.ts';
import { type Field, type Row, type Sheet, valueAt } from './sheet.ts';

/** Where a block is pasted: a selection among the rows and columns as they are shown. */
export interface Target {
  /** Counted from 0. */
  readonly top: number;
  readonly left: number;
  readonly rows: number;
  readonly columns: number;
  /** Of all columns on screen; undefined: one that is no field. */
  readonly fields: readonly (Field | undefined)[];
  readonly rowAt: (index: number) => Row | undefined;
}
export type NewCells = readonly { readonly field: Field; readonly text: string }[];
export interface Pasted {
  readonly edits: readonly CellEdit[];
  /** For rows that do not exist yet. */
  readonly added: readonly NewCells[];
  /** The last cell that it fills. */
  readonly end: { readonly row: number; readonly column: number };
  /** Rows of the block, where its first line gave the headings and was left out; else null. */
  readonly headed: number | null;
  /** Columns whose heading is none of the sheet's, and those past its last column. */
  readonly leftOut: readonly LeftOut[];
}

/** What a paste writes over: rows whose typed cells it changes, in words, and those that become another thing altogether. */
interface Overwritten {
  readonly names: readonly string[];
  /** Under a new label: nothing of what stood there is kept. */
  readonly replaced: readonly Row[];
}
/** A row of which nothing is typed but its label: a new one, or a placeholder. */
const isBare = (label: Field, { value }: Row): boolean =>
  Object.entries(value).every(([key, one]) => key === label.key || key === 'typed' || one == null);

/** What a paste would write over. One cell typed over is no more than typing. */
export function overwrittenBy(sheet: Sheet, edits: readonly CellEdit[], scenario: Scenario): Overwritten {
  const label = sheet.fields[0]!;
  const names = new Map<Row, string>();
  const replaced: Row[] = [];
  for (const { row, field, text } of edits) {
    const actual = actualField(row, field);
    const before = textOf(field, row, scenario);
    if (actual.kind === 'fixed' || before === '' || (sheet.list && isBare(label, row))) continue;
    if (
      JSON.stringify(readCell(actual, text, scenario).value) ===
      JSON.stringify(valueAt(row.value, actual.path))
    )
      continue;
    const name = textOf(label, row, scenario);
    const becomes =
      field.key === label.key && sheet.list && !sheet.nested && edits.length > 1 ? text.trim() : '';
    if (becomes !== '') replaced.push(row);
    if (becomes !== '' || !names.has(row))
      names.set(row, becomes === '' ? name : `${name} (becomes ${becomes})`);
  }
  return { names: names.size > 1 || replaced.length > 0 ? [...names.values()] : [], replaced };
}

/** How a paste is done: see `overwrittenBy` and `setCells`. */
interface Pasting {
  readonly replaced?: readonly Row[];
  readonly trail?: Trail;
  readonly manner?: Manner;
}
/** The one act of a paste: cells in rows that exist, and rows at the end for what goes past them. */
export const pasteRecipe =
  (sheet: Sheet, pasted: Pick<Pasted, 'edits' | 'added'>, how: Pasting = {}): Recipe =>
  (draft) => {
    const { replaced = [], trail, manner } = how;
    for (const row of replaced) {
      const value = valueAt(draft, row.at) as Record<string, unknown>;
      for (const key of Object.keys(value)) delete value[key];
    }
    setCells(sheet, pasted.edits, trail, manner)(draft);
    if (pasted.added.length > 0) addRows(sheet, sheet.rows(draft).at(-1), pasted.added, manner)(draft);
  };

/** What pasting a text does to a sheet: cells in rows that exist, and rows for what goes past the last. */
export function pasteOf(text: string, target: Target): Pasted {
  const { top, left, fields, rowAt } = target;
  const { block, columns, headed, leftOut } = headedBlock(fromClipboard(text), target);
  const cells = placed(asOneList(block, target), target.rows, headed ? 1 : target.columns);
  const edits: CellEdit[] = [];
  const added = new Map<number, { field: Field; text: string }[]>();
  let beyond = 0;
  const end = { row: top, column: left };
  for (const cell of cells) {
    const column = columns ? (columns[cell.column] ?? -1) : left + cell.column;
    const field = fields[column];
    if (column >= fields.length && cell.text.trim() !== '') beyond += 1;
    if (!field) continue;
    const row = rowAt(top + cell.row);
    if (row) edits.push({ row, field, text: cell.text });
    else added.set(cell.row, [...(added.get(cell.row) ?? []), { field, text: cell.text }]);
    end.row = Math.max(end.row, top + cell.row);
    end.column = Math.max(end.column, column);
  }
  // Blank lines between rows, as merged cells and gaps leave them, are no new rows.
  const rows = [...added.values()].filter((texts) => texts.some(({ text }) => text.trim() !== ''));
  const past = beyond > 0 ? [{ heading: 'past the last column', values: beyond }] : [];
  return { edits, added: rows, end, headed: headed ? block.length : null, leftOut: [...leftOut, ...past] };
}

/** A pasted block without its line of headings, and the columns these name, in any order; units stay with their numbers. */
function headedBlock(pasted: string[][], { left, fields }: Target) {
  const [first, ...rest] = pasted;
  const none = { block: pasted, columns: null, headed: false, leftOut: [] as readonly LeftOut[] };
  if (!first || rest.length === 0) return none;
  const here = fields.slice(left);
  if (
    isHeaderLine(
      first,
      here.map((field) => (field ? [field.header, field.key] : [''])),
    )
  ) {
    const columns = first.map((_, at) => left + at);
    return { block: inUnits(first, rest, columns, fields), columns, headed: true, leftOut: none.leftOut };
  }
  const known = fields.filter((field) => field !== undefined);
  const mapping = mapHeadings(known, first);
  // One column is known by where it lands.
  const alone = first.length === 1 && here[0] !== undefined && mapping[0]?.field === here[0].key;
  if (!alone && !isHeadingLine(mapping, first)) return none;
  const columns = mapping.map((one) => (one ? fields.findIndex((field) => field?.key === one.field) : -1));
  return {
    block: inUnits(first, rest, columns, fields),
    columns,
    headed: true,
    leftOut: leftOutOf(first, rest, mapping),
  };
}

const inUnits = (
  first: readonly string[],
  rest: readonly (readonly string[])[],
  columns: readonly number[],
  fields: readonly (Field | undefined)[],
): string[][] =>
  rest.map((line) =>
    line.map((text, at) => {
      const { unit } = partHeading(first[at] ?? '');
      return unit === undefined ? text : inUnitOf(`(${unit})`, text, fields[columns[at]!]?.unit);
    }),
  );

/** A column of numbers into one cell that holds a list of them. */
function asOneList(block: string[][], { top, left, rows, columns, fields, rowAt }: Target): string[][] {
  const row = rowAt(top);
  const field = fields[left];
  if (rows !== 1 || columns !== 1 || !row || !field) return block;
  const { kind } = actualField(row, field);
  const list = kind === 'numbers' || kind === 'series' ? oneList(block) : null;
  return list === null ? block : [[list]];
}
