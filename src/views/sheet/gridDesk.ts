import type { CellPosition, GridApi, IRowNode, SuppressKeyboardEventParams } from 'ag-grid-community';
import { editText } from '../../grid/cells.ts';
import { fromClipboard, inUnitOf, isHeaderLine, oneList, placed, toClipboard } from '../../grid/clipboard.ts';
import type { CellEdit, Trail } from '../../grid/edits.ts';
import { actualField, textOf } from '../../grid/forms.ts';
import type { Field, Row } from '../../grid/sheet.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { countText } from '../../words/numbers.ts';
import type { HeldRows } from './gridRows.ts';
import { type Block, blockOf, extended, type Range, type Spot, single } from './range.ts';

/** What a person does in a sheet; each call is one act and one undo step. */
export interface GridActs {
  set(edits: readonly CellEdit[], label: string): void;
  /** Cells in rows that exist, and rows at the end for the rest of the paste. */
  paste(edits: readonly CellEdit[], added: readonly (readonly { field: Field; text: string }[])[]): void;
  /** What a person should know of what has just been done. */
  say(text: string): void;
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
/** Where focus and range were, by the ids of their rows. */
interface Place {
  readonly cell: CellPosition | null;
  readonly row: Row | undefined;
  readonly range: Range | null;
  readonly ids: { readonly cell: string; readonly anchor: string; readonly head: string };
}
type Cell = { readonly row: Row; readonly field: Field };

/** A new grid takes a few frames to draw its cells, more on a busy computer. */
const FRAMES = 60;
/** The grid lets one of its two scroll bars lead for 150 ms. */
const LED_MS = 200;
const LEFT_TO_PAGE = ['c', 'x', 'v', 'z', 'y', 'f', 's', 'o', 'p'];
const inField = (event: Event): boolean => (event.target as Element).closest('input, textarea') !== null;

/** Range, clipboard, fill and find on the grid's public parts. Cells are counted as they are shown: sorted and filtered. */
export class GridDesk {
  sheet: DeskSheet;
  range: Range | null = null;
  /** The mouse drew the range: the focus that follows must not undo it. */
  byMouse = false;
  /** px, where the grid has drawn rows last. */
  drawnTop = 0;
  private api: GridApi<Row> | null = null;
  /** A cell asked for before it was there. */
  private awaited: { row: string; field: string } | null = null;
  /** The focus the range has followed; the grid makes a new object each time it moves. */
  private followed: CellPosition | null = null;
  private held: HeldRows | null = null;
  private place: Place | null = null;

  constructor(sheet: DeskSheet) {
    this.sheet = sheet;
  }

  attach(api: GridApi<Row>): void {
    this.api = api;
    this.range = null;
    this.drawnTop = 0;
  }
  /** The grid of the sheet before may go only after the next one has come. */
  detach(api: GridApi<Row>): void {
    if (this.api === api) this.api = null;
  }

  private columns() {
    return this.api?.getAllDisplayedColumns() ?? [];
  }
  rowAt(index: number): Row | undefined {
    return this.api?.getDisplayedRowAtIndex(index)?.data;
  }
  fieldAt(column: number): Field | undefined {
    const id = this.columns()[column]?.getColId();
    return this.sheet.fields.find((field) => field.key === id);
  }
  columnOf(id: string): number {
    return this.columns().findIndex((column) => column.getColId() === id);
  }
  block(): Block | null {
    return this.range && blockOf(this.range);
  }
  private cellsIn(area: Block): Cell[][] {
    const lines: Cell[][] = [];
    for (let index = area.top; index <= area.bottom; index++) {
      const row = this.rowAt(index);
      if (!row) continue;
      const line: Cell[] = [];
      for (let column = area.left; column <= area.right; column++) {
        const field = this.fieldAt(column);
        if (field) line.push({ row, field });
      }
      lines.push(line);
    }
    return lines;
  }
  rows(): Row[] {
    const area = this.block();
    return area
      ? this.cellsIn({ ...area, left: 0, right: 0 }).flatMap((line) => line.map(({ row }) => row))
      : [];
  }

  repaint(): void {
    const { api } = this;
    api?.refreshCells({ force: true, suppressFlash: true, rowNodes: api.getRenderedNodes() });
  }
  setRange(range: Range | null): void {
    this.range = range;
    this.repaint();
  }
  private focusAt({ row, column }: Spot): void {
    const { api } = this;
    const target = this.columns()[column];
    if (!api || !target || row < 0 || row >= api.getDisplayedRowCount()) return;
    api.ensureIndexVisible(row);
    api.ensureColumnVisible(target);
    api.setFocusedCell(row, target);
  }
  private focusedSpot(): Spot | null {
    const cell = this.api?.getFocusedCell();
    return cell ? { row: cell.rowIndex, column: this.columnOf(cell.column.getColId()) } : null;
  }
  private editedSpot(): Spot | null {
    const [cell] = this.api?.getEditingCells() ?? [];
    return cell ? { row: cell.rowIndex, column: this.columnOf(cell.colId) } : null;
  }
  /** The range goes where the focus went. The grid tells of it a turn late: a key that comes before asks here first. */
  follow(): void {
    if (this.followed !== this.follows()) this.repaint();
  }
  private follows(): CellPosition | null {
    const before = this.followed;
    this.followed = this.api?.getFocusedCell() ?? null;
    const spot = this.focusedSpot();
    if (spot && this.followed !== before && !this.byMouse) this.range = single(spot);
    return this.followed;
  }
  /** Before the grid takes in other rows: where each row and the cursor is. */
  note(held: HeldRows): void {
    const { api } = this;
    const same = held === this.held;
    this.held = held;
    this.place = null;
    if (!api || api.isDestroyed() || !same) return;
    held.look(api);
    const cell = this.follows();
    const { range } = this;
    const idAt = (row = -1): string => api.getDisplayedRowAtIndex(row)?.id ?? '';
    const ids = { cell: idAt(cell?.rowIndex), anchor: idAt(range?.anchor.row), head: idAt(range?.head.row) };
    this.place = { cell, row: cell ? this.rowAt(cell.rowIndex) : undefined, range, ids };
  }
  /** After that: focus and range go with their rows. A person who has moved on meanwhile is left alone. */
  rejoin(): void {
    const { api, place } = this;
    if (!api || !place || api.getFocusedCell() !== place.cell) return;
    const { cell, ids } = place;
    const now = (id: string, row: number): number => api.getRowNode(id)?.rowIndex ?? row;
    if (cell && now(ids.cell, cell.rowIndex) !== cell.rowIndex)
      this.carryFocus(cell, now(ids.cell, cell.rowIndex));
    if (place.range && this.range === place.range) {
      const { anchor, head } = place.range;
      const [first, last] = [now(ids.anchor, anchor.row), now(ids.head, head.row)];
      if (first !== anchor.row || last !== head.row)
        this.setRange({ anchor: { ...anchor, row: first }, head: { ...head, row: last } });
    }
    const row = api.getRowNode(ids.cell)?.data;
    if (cell && row && row.key !== place.row?.key)
      this.sheet.acts.focus(row, this.fieldAt(this.columnOf(cell.column.getColId())));
    this.place = { ...place, cell: api.getFocusedCell(), row, range: this.range };
  }
  /** An open editor has the page's focus and has moved with its row; from another part of the page none is taken. */
  private carryFocus(cell: CellPosition, row: number): void {
    const { api } = this;
    if (!api || api.getEditingCells().length > 0) return;
    if (document.activeElement?.closest('.grid'))
      this.focusAt({ row, column: this.columnOf(cell.column.getColId()) });
    else api.clearFocusedCell();
    this.followed = api.getFocusedCell();
  }
  holds(held: HeldRows, node: IRowNode<Row>): boolean {
    return this.api !== null && held === this.held && held.passes(node, this.api);
  }
  tell(trail: Trail, newLast?: boolean): void {
    this.held?.tell(trail, newLast);
  }
  /** What is being typed becomes the cell's. */
  commit(): void {
    this.api?.stopEditing();
  }
  /** Ends editing and goes one cell on, as an arrow key says. */
  leave(key: string): void {
    const spot = this.editedSpot() ?? this.focusedSpot();
    this.api?.stopEditing();
    const next =
      spot &&
      extended(single(spot), key, false, this.api?.getDisplayedRowCount() ?? 0, this.columns().length);
    if (next) this.focusAt(next.head);
  }
  /** The focus goes to a cell; one that is not there or not drawn yet gets it once it is. */
  goTo(row: string, field: string): void {
    this.awaited = { row, field };
    this.goToAwaited();
  }
  goToAwaited(frames = FRAMES): void {
    const { awaited } = this;
    if (!awaited) return;
    const node = this.api?.getRowNode(this.held?.idAt(awaited.row) ?? '');
    if (node?.rowIndex == null) return;
    const spot = { row: node.rowIndex, column: Math.max(0, this.columnOf(awaited.field)) };
    this.focusAt(spot);
    this.setRange(single(spot));
    const cell = document.activeElement?.closest('.ag-cell');
    const landed = cell?.closest('[row-index]')?.getAttribute('row-index') === String(spot.row);
    if (landed || frames === 0) this.awaited = null;
    else
      requestAnimationFrame(() => {
        if (this.awaited === awaited) this.goToAwaited(frames - 1);
      });
  }

  clear(): void {
    const area = this.block();
    if (!area) return;
    const edits = this.cellsIn(area).flatMap((line) => line.map((cell) => ({ ...cell, text: '' })));
    const one = edits.length === 1 ? edits[0]!.field.header : `${edits.length} cells`;
    this.sheet.acts.set(edits, `clear ${one}`);
  }
  /** The first line of the block goes into the others; a single line takes the one above it. */
  fillDown(): void {
    const area = this.block();
    if (!area) return;
    const [source, ...rest] = this.cellsIn({
      ...area,
      top: area.top === area.bottom ? area.top - 1 : area.top,
    });
    if (!source) return;
    const texts = source.map(({ row, field }) => editText(actualField(row, field), row, this.sheet.scenario));
    const edits = rest.flatMap((line) => line.map((cell, index) => ({ ...cell, text: texts[index]! })));
    this.sheet.acts.set(edits, 'fill down');
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
  private isEmpty(): boolean {
    return this.api?.getDisplayedRowCount() === 0;
  }
  paste(event: ClipboardEvent): void {
    // Where there is no cell yet the first one is meant.
    const area = this.isEmpty() ? { top: 0, bottom: 0, left: 0, right: 0 } : this.block();
    const text = event.clipboardData?.getData('text/plain') ?? '';
    if (!area || text === '' || inField(event)) return;
    event.preventDefault();
    const pasted = fromClipboard(text);
    const fields = this.columns()
      .map((_, column) => this.fieldAt(column))
      .slice(area.left);
    const headers = fields.map((field) => field?.header ?? '');
    const headed = pasted.length > 1 && isHeaderLine(pasted[0]!, headers);
    const block = headed
      ? pasted
          .slice(1)
          .map((line) => line.map((text, at) => inUnitOf(pasted[0]![at]!, text, fields[at]?.unit)))
      : pasted;
    const only =
      area.top === area.bottom && area.left === area.right ? this.cellsIn(area)[0]?.[0] : undefined;
    const kind = only && actualField(only.row, only.field).kind;
    const list = kind === 'numbers' || kind === 'series' ? oneList(block) : null;
    const cells = placed(
      list === null ? block : [[list]],
      area.bottom - area.top + 1,
      area.right - area.left + 1,
    );
    const edits: CellEdit[] = [];
    const added = new Map<number, { field: Field; text: string }[]>();
    const end = { row: area.top, column: area.left };
    for (const cell of cells) {
      const field = this.fieldAt(area.left + cell.column);
      if (!field) continue;
      const row = this.rowAt(area.top + cell.row);
      if (row) edits.push({ row, field, text: cell.text });
      else added.set(cell.row, [...(added.get(cell.row) ?? []), { field, text: cell.text }]);
      end.row = Math.max(end.row, area.top + cell.row);
      end.column = Math.max(end.column, area.left + cell.column);
    }
    this.sheet.acts.paste(edits, [...added.values()]);
    if (headed)
      this.sheet.acts.say(
        `${countText(block.length, 'row')} pasted; the first line repeated the headers and was left out.`,
      );
    this.setRange({ anchor: { row: area.top, column: area.left }, head: end });
  }
  /** The cell that was left last has the page's focus again. */
  takeFocus(): void {
    this.focusAt(this.focusedSpot() ?? { row: 0, column: 0 });
  }
  /** All rows again; the focus stays in its row. */
  clearFilter(): void {
    const { api } = this;
    const spot = this.focusedSpot() ?? { row: 0, column: 0 };
    const id = api?.getDisplayedRowAtIndex(spot.row)?.id ?? '';
    api?.setFilterModel(null);
    this.focusAt({ ...spot, row: api?.getRowNode(id)?.rowIndex ?? 0 });
  }
  /** The next (1), previous (-1) or this (0) cell that holds a text; how many there are, and which this is, from 1. */
  find(text: string, step: 1 | -1 | 0): { readonly count: number; readonly at: number } {
    const { api } = this;
    if (!api || text === '') return { count: 0, at: 0 };
    const wanted = text.toLowerCase();
    const columns = this.columns().length;
    const lines = this.cellsIn({
      top: 0,
      bottom: api.getDisplayedRowCount() - 1,
      left: 0,
      right: columns - 1,
    });
    const spots = lines.flatMap((line, row) =>
      line.flatMap((cell, column) =>
        textOf(cell.field, cell.row, this.sheet.scenario).toLowerCase().includes(wanted)
          ? [{ row, column }]
          : [],
      ),
    );
    const here = this.focusedSpot() ?? { row: 0, column: -1 };
    const order = ({ row, column }: Spot) => row * columns + column;
    const after = spots.findIndex((spot) => order(spot) > order(here) - (step === 0 ? 1 : 0));
    const before = spots.findLastIndex((spot) => order(spot) < order(here));
    const back = before < 0 ? spots.length - 1 : before;
    const at = step >= 0 ? Math.max(0, after) : back;
    const spot = spots[at];
    if (spot) {
      this.focusAt(spot);
      this.setRange(single(spot));
    }
    return { count: spots.length, at: spot ? at + 1 : 0 };
  }

  /** True: the key is ours and the grid leaves it alone. */
  ownKey({ event, editing, api }: SuppressKeyboardEventParams<Row>): boolean {
    this.follow();
    this.byMouse = false;
    const { key, shiftKey } = event;
    const ctrl = event.ctrlKey || event.metaKey;
    const letter = key.toLowerCase();
    const { acts } = this.sheet;
    const done = (act: () => void): boolean => {
      event.preventDefault();
      act();
      return true;
    };
    // The grid itself ends editing a turn after Esc: what a hurried person types in that turn would be lost.
    if (editing && key === 'Escape') return done(() => api.stopEditing(true));
    if (editing)
      return (
        key === 'Tab' &&
        done(() => {
          const spot = this.editedSpot();
          api.stopEditing();
          // Rows may have moved under the editor, and the grid's focus has not moved with it.
          if (spot && spot.row !== this.focusedSpot()?.row) this.focusAt(spot);
          if (shiftKey) api.tabToPreviousCell();
          else api.tabToNextCell();
        })
      );
    const erases = key === 'Delete' || key === 'Backspace';
    if (key === 'Enter' && ctrl) return done(() => acts.insert(this.rowAt(this.block()?.bottom ?? -1)));
    if (erases && (ctrl || (shiftKey && key === 'Delete'))) return done(() => acts.remove(this.rows()));
    if (erases) return done(() => this.clear());
    if (ctrl && shiftKey && letter === 'd') return done(() => acts.duplicate(this.rows()));
    if (ctrl && letter === 'd') return done(() => this.fillDown());
    const size = { rows: api.getDisplayedRowCount(), columns: this.columns().length };
    if (ctrl && letter === 'a') {
      const head = { row: size.rows - 1, column: size.columns - 1 };
      return done(() => this.setRange({ anchor: { row: 0, column: 0 }, head }));
    }
    if (ctrl && LEFT_TO_PAGE.includes(letter)) return true;
    const spot = this.focusedSpot();
    const from = shiftKey ? this.range : spot && single(spot);
    const ours = shiftKey || key === 'Home' || key === 'End';
    const next = ours && from && extended(from, key, ctrl, size.rows, size.columns);
    if (!next) return false;
    if (!shiftKey)
      return done(() => {
        this.focusAt(next.head);
        this.follow();
      });
    return done(() => {
      api.ensureIndexVisible(next.head.row);
      api.ensureColumnVisible(this.columns()[next.head.column]!);
      this.setRange(next);
    });
  }

  /** Listens to mouse and clipboard on the grid's element; returns how to stop. */
  listen(element: HTMLElement): () => void {
    let led = 0;
    /** On a busy page the grid may take its own bar's echo for the leader and leave a scroll undrawn: it is told again. */
    const scrolled = ({ target, isTrusted }: Event) => {
      if (!isTrusted || !(target instanceof Element) || !target.matches('.ag-grid-viewport')) return;
      window.clearTimeout(led);
      led = window.setTimeout(() => {
        if (target.scrollTop !== this.drawnTop) target.dispatchEvent(new Event('scroll'));
      }, LED_MS);
    };
    const hit = (event: PointerEvent): Spot | null => {
      const cell = (event.target as Element).closest('.ag-cell');
      const row = cell?.closest('[row-index]')?.getAttribute('row-index');
      const id = cell?.getAttribute('col-id');
      if (!cell || row == null || !id || cell.classList.contains('ag-cell-inline-editing')) return null;
      return { row: Number(row), column: this.columnOf(id) };
    };
    const listeners = {
      pointerdown: (event: PointerEvent) => {
        const spot = hit(event);
        if (!spot || event.button !== 0) return;
        this.byMouse = true;
        this.setRange(
          event.shiftKey && this.range ? { anchor: this.range.anchor, head: spot } : single(spot),
        );
      },
      pointermove: (event: PointerEvent) => {
        const spot = event.buttons === 1 && this.range && this.byMouse ? hit(event) : null;
        if (!spot || !this.range) return;
        const { anchor, head } = this.range;
        if (spot.row !== head.row || spot.column !== head.column) this.setRange({ anchor, head: spot });
      },
      copy: (event: ClipboardEvent) => this.copy(event),
      cut: (event: ClipboardEvent) => {
        if (this.copy(event)) this.clear();
      },
      paste: (event: ClipboardEvent) => this.paste(event),
      scroll: scrolled,
    };
    const ended = new AbortController();
    // The press is heard before the grid hears it, so that its focus finds the range drawn. A scroll does not bubble.
    for (const [name, listener] of Object.entries(listeners))
      element.addEventListener(name, listener as (event: Event) => void, {
        capture: name === 'pointerdown' || name === 'scroll',
        signal: ended.signal,
      });
    return () => {
      window.clearTimeout(led);
      ended.abort();
    };
  }
}
