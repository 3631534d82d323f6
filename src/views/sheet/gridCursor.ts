import type { CellPosition, GridApi } from 'ag-grid-community';
import type { Row } from '../../grid/sheet.ts';
import { hasKeys, takeKeys } from '../state/earlyKeys.ts';
import type { HeldRows } from './gridRows.ts';
import { moved, type Range, type Spot, single } from './range.ts';

/** Where focus and range were, by the ids of their rows. */
interface Place {
  readonly cell: CellPosition | null;
  readonly row: Row | undefined;
  readonly range: Range | null;
  readonly ids: { readonly cell: string; readonly anchor: string; readonly head: string };
}

/** A new grid takes a few frames to draw its cells, more on a busy computer. */
const FRAMES = 60;

/** Focus and range of a sheet on the grid's public parts, counted as rows and columns are shown: they go with their rows. */
export class GridCursor {
  range: Range | null = null;
  /** The mouse drew the range: the focus that follows must not undo it. */
  byMouse = false;
  api: GridApi<Row> | null = null;
  held: HeldRows | null = null;
  /** A cell asked for before it was there. */
  private awaited: { row: string; field: string } | null = null;
  /** The focus the range has followed; the grid makes a new object each time it moves. */
  private followed: CellPosition | null = null;
  private place: Place | null = null;
  private readonly onRow: (row: Row, column: string) => void;

  /** @param onRow another row has come under the cursor without its moving */
  constructor(onRow: (row: Row, column: string) => void) {
    this.onRow = onRow;
  }
  attach(api: GridApi<Row>): void {
    this.api = api;
    this.range = null;
  }
  /** The grid of the sheet before may go only after the next one has come. */
  detach(api: GridApi<Row>): void {
    if (this.api === api) this.api = null;
  }
  columns() {
    return this.api?.getAllDisplayedColumns() ?? [];
  }
  columnOf(id: string): number {
    return this.columns().findIndex((column) => column.getColId() === id);
  }
  rowAt(index: number): Row | undefined {
    return this.api?.getDisplayedRowAtIndex(index)?.data;
  }
  size() {
    return { rows: this.api?.getDisplayedRowCount() ?? 0, columns: this.columns().length };
  }
  repaint(): void {
    const { api } = this;
    api?.refreshCells({ force: true, suppressFlash: true, rowNodes: api.getRenderedNodes() });
  }
  setRange(range: Range | null): void {
    this.range = range;
    this.repaint();
  }
  show({ row, column }: Spot): void {
    this.api?.ensureIndexVisible(row);
    // The first column is always in sight: who goes there wants the row's beginning beside it.
    const beside = this.columns()[column === 0 ? 1 : column] ?? this.columns()[column];
    if (beside) this.api?.ensureColumnVisible(beside);
  }
  focusAt(spot: Spot): void {
    const target = this.columns()[spot.column];
    if (!this.api || !target || spot.row < 0 || spot.row >= this.size().rows) return;
    this.show(spot);
    this.api.setFocusedCell(spot.row, target);
  }
  focusedSpot(): Spot | null {
    const cell = this.api?.getFocusedCell();
    return cell ? { row: cell.rowIndex, column: this.columnOf(cell.column.getColId()) } : null;
  }
  editedSpot(): Spot | null {
    const [cell] = this.api?.getEditingCells() ?? [];
    return cell ? { row: cell.rowIndex, column: this.columnOf(cell.colId) } : null;
  }
  /** The cell that was left last has the page's focus again. */
  takeFocus(): void {
    this.focusAt(this.focusedSpot() ?? { row: 0, column: 0 });
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
  private idAt(row = -1): string {
    return this.api?.getDisplayedRowAtIndex(row)?.id ?? '';
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
    const ids = {
      cell: this.idAt(cell?.rowIndex),
      anchor: this.idAt(range?.anchor.row),
      head: this.idAt(range?.head.row),
    };
    this.place = { cell, row: cell ? this.rowAt(cell.rowIndex) : undefined, range, ids };
  }
  /** After that: focus and range go with their rows. A person who has moved on meanwhile is left alone. */
  rejoin(): void {
    const { api, place } = this;
    if (!api || !place || api.getFocusedCell() !== place.cell) return;
    const { cell, ids, range } = place;
    const now = (id: string, row: number): number => api.getRowNode(id)?.rowIndex ?? row;
    if (cell && now(ids.cell, cell.rowIndex) !== cell.rowIndex)
      this.carryFocus(cell, now(ids.cell, cell.rowIndex));
    if (range && this.range === range) {
      const after = moved(range, (row) => now(row === range.anchor.row ? ids.anchor : ids.head, row));
      if (after !== range) this.setRange(after);
    }
    const row = api.getRowNode(ids.cell)?.data;
    if (cell && row && row.key !== place.row?.key) this.onRow(row, cell.column.getColId());
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
    if (landed || frames === 0) {
      this.awaited = null;
      // The editor that opens takes what was typed by then.
      if (landed && hasKeys()) {
        this.api?.startEditingCell({ rowIndex: spot.row, colKey: awaited.field });
        // A cell that nobody may edit opens none.
        setTimeout(takeKeys, 500);
      } else takeKeys();
    } else
      requestAnimationFrame(() => {
        if (this.awaited === awaited) this.goToAwaited(frames - 1);
      });
  }
  /** All rows again; the focus stays in its row. */
  clearFilter(): void {
    const spot = this.focusedSpot() ?? { row: 0, column: 0 };
    const id = this.idAt(spot.row);
    this.api?.setFilterModel(null);
    this.focusAt({ ...spot, row: this.api?.getRowNode(id)?.rowIndex ?? 0 });
  }
}
