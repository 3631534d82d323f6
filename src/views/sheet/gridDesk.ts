import type { GridApi, IRowNode, SuppressKeyboardEventParams } from 'ag-grid-community';
import { toClipboard } from '../../grid/clipboard.ts';
import type { CellEdit, Trail } from '../../grid/edits.ts';
import { type Cell, cellsWith, cleared, filledDown, nextOf } from '../../grid/fill.ts';
import { textOf } from '../../grid/forms.ts';
import { type NewCells, type Pasted, pasteOf } from '../../grid/paste.ts';
import type { Field, Row } from '../../grid/sheet.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { GridCursor } from './gridCursor.ts';
import type { HeldRows } from './gridRows.ts';
import { type KeyAct, keyAct } from './keys.ts';
import { type Block, blockOf, extended, holds, isSingle, single } from './range.ts';

/** What a person does in a sheet; each call is one act and one undo step. */
export interface GridActs {
  set(edits: readonly CellEdit[], label: string): void;
  /** Cells in rows that exist, and rows at the end for the rest. @param asRows all of it as rows of their own instead */
  paste(pasted: Pasted, asRows: readonly NewCells[]): void;
  insert(above: Row | undefined): void;
  duplicate(rows: readonly Row[]): void;
  remove(rows: readonly Row[]): void;
  /** The cell that is looked at. */
  focus(row: Row | undefined, field: Field | undefined): void;
}
/** The sheet as the desk sees it; renewed on every drawing. */
export interface DeskSheet {
  readonly fields: readonly Field[];
  readonly scenario: Scenario;
  readonly acts: GridActs;
}

const inField = (event: Event): boolean => (event.target as Element).closest('input, textarea') !== null;

/** What keys, clipboard and find do in a sheet: `keys.ts`, `paste.ts` and `fill.ts` say what, the cursor where. */
export class GridDesk {
  sheet: DeskSheet;
  readonly cursor: GridCursor;
  /** px, where the grid has drawn rows last. */
  drawnTop = 0;

  constructor(sheet: DeskSheet) {
    this.sheet = sheet;
    this.cursor = new GridCursor((row, column) => this.sheet.acts.focus(row, this.fieldOf(column)));
  }
  attach(api: GridApi<Row>): void {
    this.cursor.attach(api);
    this.drawnTop = 0;
  }
  private fieldOf(id: string | undefined): Field | undefined {
    return this.sheet.fields.find((field) => field.key === id);
  }
  private fieldsShown(): (Field | undefined)[] {
    return this.cursor.columns().map((column) => this.fieldOf(column.getColId()));
  }
  private block(): Block | null {
    return this.cursor.range && blockOf(this.cursor.range);
  }
  private cellsIn({ top, bottom, left, right }: Block): Cell[][] {
    const fields = this.fieldsShown().slice(left, right + 1);
    const lines: Cell[][] = [];
    for (let index = top; index <= bottom; index++) {
      const row = this.cursor.rowAt(index);
      if (row) lines.push(fields.flatMap((field) => (field ? [{ row, field }] : [])));
    }
    return lines;
  }
  rows(): Row[] {
    const area = this.block();
    return area
      ? this.cellsIn({ ...area, left: 0, right: 0 }).flatMap((line) => line.map(({ row }) => row))
      : [];
  }
  /** Whether a cell lies in a range of more than one. */
  inRange(row: number, column: string | undefined): boolean {
    const { range } = this.cursor;
    if (!range || isSingle(range)) return false;
    return holds(blockOf(range), row, this.cursor.columnOf(column ?? ''));
  }
  holds(held: HeldRows, node: IRowNode<Row>): boolean {
    const { api } = this.cursor;
    return api !== null && held === this.cursor.held && held.passes(node, api);
  }
  tell(trail: Trail, newLast?: boolean): void {
    this.cursor.held?.tell(trail, newLast);
  }
  forget(): void {
    this.cursor.held?.forget();
  }
  goTo(row: string, field: string): void {
    this.cursor.goTo(row, field);
  }
  takeFocus(): void {
    this.cursor.takeFocus();
  }
  clearFilter(): void {
    this.cursor.clearFilter();
  }
  /** What is being typed becomes the cell's. */
  commit(): void {
    this.cursor.api?.stopEditing();
  }
  /** Ends editing and goes one cell on, as an arrow key says. */
  leave(key: string): void {
    const { cursor } = this;
    const spot = cursor.editedSpot() ?? cursor.focusedSpot();
    this.commit();
    const next = spot && extended(single(spot), key, false, cursor.size());
    if (next) cursor.focusAt(next.head);
  }
  clear(): void {
    const area = this.block();
    if (!area) return;
    const { edits, label } = cleared(this.cellsIn(area));
    this.sheet.acts.set(edits, label);
  }
  /** The first line of the block goes into the others; a single line takes the one above it. */
  fillDown(): void {
    const area = this.block();
    if (!area) return;
    const top = area.top === area.bottom ? area.top - 1 : area.top;
    const edits = filledDown(this.cellsIn({ ...area, top }), this.sheet.scenario);
    if (edits.length > 0) this.sheet.acts.set(edits, 'fill down');
  }
  /** False: the event is not ours. */
  copy(event: ClipboardEvent): boolean {
    const area = this.block();
    if (!area || inField(event)) return false;
    const texts = this.cellsIn(area).map((line) =>
      line.map(({ row, field }) => textOf(field, row, this.sheet.scenario)),
    );
    event.clipboardData?.setData('text/plain', toClipboard(texts));
    event.preventDefault();
    return true;
  }
  paste(event: ClipboardEvent): void {
    const { cursor } = this;
    // Where there is no cell yet the first one is meant.
    const empty = cursor.api !== null && cursor.size().rows === 0;
    const area = empty ? { top: 0, bottom: 0, left: 0, right: 0 } : this.block();
    const text = event.clipboardData?.getData('text/plain') ?? '';
    if (!area || text === '' || inField(event)) return;
    event.preventDefault();
    const target = {
      top: area.top,
      left: area.left,
      rows: area.bottom - area.top + 1,
      columns: area.right - area.left + 1,
      fields: this.fieldsShown(),
      rowAt: (index: number) => cursor.rowAt(index),
    };
    const pasted = pasteOf(text, target);
    const { added: asRows } = pasteOf(text, { ...target, rows: 1, columns: 1, rowAt: () => undefined });
    this.sheet.acts.paste(pasted, asRows);
    cursor.setRange({ anchor: { row: area.top, column: area.left }, head: pasted.end });
  }
  /** The next (1), previous (-1) or this (0) cell that holds a text; how many there are, and which this is, from 1. */
  find(text: string, step: 1 | -1 | 0): { readonly count: number; readonly at: number } {
    const { cursor } = this;
    const { rows, columns } = cursor.size();
    if (!cursor.api || text === '') return { count: 0, at: 0 };
    const lines = this.cellsIn({ top: 0, bottom: rows - 1, left: 0, right: columns - 1 });
    const spots = cellsWith(lines, text, this.sheet.scenario);
    const at = nextOf(spots, cursor.focusedSpot() ?? { row: 0, column: -1 }, step);
    const spot = spots[at];
    if (!spot) return { count: 0, at: 0 };
    cursor.focusAt(spot);
    cursor.setRange(single(spot));
    return { count: spots.length, at: at + 1 };
  }
  /** True: the key is ours and the grid leaves it alone. */
  ownKey({ event, editing }: SuppressKeyboardEventParams<Row>): boolean {
    const { cursor } = this;
    cursor.follow();
    cursor.byMouse = false;
    const { key, shiftKey: shift } = event;
    const act = keyAct(
      { key, shift, ctrl: event.ctrlKey || event.metaKey, editing },
      { range: cursor.range, focus: cursor.focusedSpot(), size: cursor.size() },
    );
    if (act?.do === 'page') return true;
    if (!act) return false;
    event.preventDefault();
    this.perform(act);
    return true;
  }
  private perform(act: KeyAct): void {
    const { cursor } = this;
    const { acts } = this.sheet;
    if (act.do === 'cancel') cursor.api?.stopEditing(true);
    else if (act.do === 'tab') this.tab(act.back);
    else if (act.do === 'insert') acts.insert(cursor.rowAt(this.block()?.bottom ?? -1));
    else if (act.do === 'remove') acts.remove(this.rows());
    else if (act.do === 'duplicate') acts.duplicate(this.rows());
    else if (act.do === 'clear') this.clear();
    else if (act.do === 'fillDown') this.fillDown();
    else if (act.do === 'move') {
      cursor.focusAt(act.to);
      cursor.follow();
    } else if (act.do === 'select') {
      if (act.show) cursor.show(act.range.head);
      cursor.setRange(act.range);
    }
  }
  private tab(back: boolean): void {
    const { cursor } = this;
    const spot = cursor.editedSpot();
    this.commit();
    // Rows may have moved under the editor, and the grid's focus has not moved with it.
    if (spot && spot.row !== cursor.focusedSpot()?.row) cursor.focusAt(spot);
    if (back) cursor.api?.tabToPreviousCell();
    else cursor.api?.tabToNextCell();
  }
}
