import type { ColDef, GridOptions } from 'ag-grid-community';
import { AgGridReact } from 'ag-grid-react';
import { type Ref, useEffect, useImperativeHandle, useLayoutEffect, useMemo, useRef, useState } from 'react';
import { flushSync } from 'react-dom';
import { editText } from '../../grid/cells.ts';
import { actualField, textOf } from '../../grid/forms.ts';
import type { Row, Sheet } from '../../grid/sheet.ts';
import { onSettle } from '../state/store.ts';
import { columnsOf, rememberWidth } from './gridColumns.tsx';
import { type DeskSheet, GridDesk } from './gridDesk.ts';
import { HeldRows } from './gridRows.ts';
import { NONCE, themeAt } from './gridTheme.ts';

/** What is wrong with one cell, in words. */
export interface Mark {
  readonly level: 'error' | 'warning';
  readonly text: string;
}
export type GridHandle = Pick<GridDesk, 'goTo' | 'rows' | 'find' | 'tell' | 'clearFilter' | 'takeFocus'>;
export interface GridProps extends DeskSheet {
  readonly sheet: Sheet;
  readonly rows: readonly Row[];
  /** Nothing has been edited since the scenario was opened. */
  readonly untouched: boolean;
  /** By 'row key/field key'. */
  readonly marks: ReadonlyMap<string, Mark>;
  /** Cells that hold this text are pointed out. */
  readonly found: string;
  readonly filters: boolean;
  /** How many rows a filter lets through; null: there is none. */
  readonly onShown: (sheet: string, rows: number | null) => void;
  /** percent */
  readonly zoom: number;
  readonly handle: Ref<GridHandle>;
}

/** A sheet in, acts out. AG Grid draws, sorts and filters; range, clipboard and keys are in `gridDesk.ts`. */
export function Grid(props: GridProps) {
  const { sheet, fields, rows, untouched, filters, zoom, handle } = props;
  const now = useRef(props);
  now.current = props;
  const [desk] = useState(() => new GridDesk(props));
  desk.sheet = props;
  const wrapper = useRef<HTMLDivElement>(null);
  useEffect(() => desk.listen(wrapper.current!), [desk]);
  useEffect(() => onSettle(() => desk.commit()), [desk]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: cells read marks and texts through `now`
  useEffect(() => desk.repaint(), [desk, props.marks, props.found]);
  useImperativeHandle(handle, () => desk, [desk]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: columns change with these, cells read through `now`
  const columnDefs = useMemo(() => columnsOf(now, desk), [sheet.id, fields, zoom]);
  const defaultColDef = useMemo(
    (): ColDef<Row> => ({
      sortable: true,
      resizable: true,
      floatingFilter: filters,
      suppressKeyboardEvent: (event) => desk.ownKey(event),
      suppressHeaderMenuButton: true,
    }),
    [filters, desk],
  );
  const theme = useMemo(() => themeAt(zoom), [zoom]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: each sheet has rows of its own to hold
  const held = useMemo(() => new HeldRows(), [sheet.id]);
  const rowData = useMemo(() => held.take(rows, untouched), [held, rows, untouched]);
  // The grid hears of these in effects of its own: after the first of ours and before the second.
  // biome-ignore lint/correctness/useExhaustiveDependencies: whatever may make the grid sort and filter
  useLayoutEffect(() => desk.note(held), [desk, held, rowData, columnDefs, defaultColDef, theme]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the same
  useEffect(() => desk.rejoin(), [desk, held, rowData, columnDefs, defaultColDef, theme]);
  const holding = useMemo(
    (): GridOptions<Row> => ({
      getRowId: ({ data }) => held.idOf(data),
      alwaysPassFilter: (node) => desk.holds(held, node),
      postSortRows: ({ nodes, api }) => held.arrange(nodes, api),
    }),
    [held, desk],
  );
  const fieldOf = (id: string) => fields.find(({ key }) => key === id);
  return (
    // An empty sheet takes the focus itself, for a block that is pasted.
    // biome-ignore lint/a11y/useSemanticElements: no set of form fields
    <div
      className="grid"
      role="group"
      aria-label={`Rows of ${sheet.title}`}
      ref={wrapper}
      tabIndex={rows.length === 0 ? 0 : undefined}
      onKeyDown={({ key, ctrlKey, metaKey, target, currentTarget }) => {
        const first = target === currentTarget && key === 'Enter' && (ctrlKey || metaKey);
        if (first && sheet.list) now.current.acts.insert(undefined);
      }}
    >
      <AgGridReact<Row>
        key={sheet.id}
        theme={theme}
        styleNonce={NONCE}
        rowData={rowData as Row[]}
        columnDefs={columnDefs}
        defaultColDef={defaultColDef}
        {...holding}
        readOnlyEdit
        animateRows={false}
        enterNavigatesVertically
        enterNavigatesVerticallyAfterEdit
        stopEditingWhenCellsLoseFocus
        tooltipShowDelay={400}
        onGridReady={({ api }) => desk.attach(api)}
        onGridPreDestroyed={({ api }) => desk.detach(api)}
        onBodyScroll={({ direction, top }) => {
          if (direction === 'vertical') desk.drawnTop = top;
        }}
        onModelUpdated={({ api }) =>
          now.current.onShown(sheet.id, api.isColumnFilterPresent() ? api.getDisplayedRowCount() : null)
        }
        onFirstDataRendered={() => desk.goToAwaited()}
        onRowDataUpdated={() => {
          desk.rejoin();
          desk.goToAwaited();
        }}
        onCellEditRequest={({ node, column, newValue, api }) => {
          const field = fieldOf(column.getColId());
          // The grid tells of edits a turn late, perhaps of two at once: the first may have moved the second one's row.
          const data = api.getRowNode(node.id!)?.data;
          if (!field || !data) return;
          const text = String(newValue ?? '');
          const actual = actualField(data, field);
          if (text === editText(actual, data, now.current.scenario)) return;
          const name = textOf(fields[0]!, data, now.current.scenario) || `new ${sheet.one}`;
          const label = data.field ? name : `${actual.header} of ${name}`;
          flushSync(() => now.current.acts.set([{ row: data, field, text }], label));
        }}
        onCellFocused={({ rowIndex, column }) => {
          if (rowIndex === null || !column || typeof column === 'string') return;
          desk.follow();
          now.current.acts.focus(desk.rowAt(rowIndex), fieldOf(column.getColId()));
        }}
        onColumnResized={({ finished, column, source }) => {
          if (finished && column && source !== 'api')
            rememberWidth(sheet.id, column.getColId(), (column.getActualWidth() * 100) / zoom);
        }}
        overlayNoRowsTemplate={`<span class="no-rows">No ${sheet.one} yet: add a row, or paste a block here.</span>`}
      />
    </div>
  );
}
