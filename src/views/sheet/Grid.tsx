import type { CellEditRequestEvent, CellFocusedEvent, ColDef, GridOptions } from 'ag-grid-community';
import { AgGridReact } from 'ag-grid-react';
import {
  type RefObject,
  useEffect,
  useImperativeHandle,
  useLayoutEffect,
  useMemo,
  useRef,
  useState,
} from 'react';
import { flushSync } from 'react-dom';
import { editText } from '../../grid/cells.ts';
import { actualField, textOf } from '../../grid/forms.ts';
import type { Row } from '../../grid/sheet.ts';
import { onSettle } from '../state/store.ts';
import { columnsOf, rememberWidth } from './gridColumns.tsx';
import { GridDesk } from './gridDesk.ts';
import { listenTo } from './gridListen.ts';
import { HeldRows } from './gridRows.ts';
import { NONCE, themeAt } from './gridTheme.ts';
import type { GridProps } from './gridTypes.ts';
import { GRID_WORDS } from './gridWords.ts';

type Now = RefObject<GridProps>;

/** The desk of a sheet, and how it hears of mouse, clipboard and marks. */
function useDesk(props: GridProps, wrapper: RefObject<HTMLDivElement | null>): GridDesk {
  const [desk] = useState(() => new GridDesk(props));
  desk.sheet = props;
  useEffect(() => listenTo(wrapper.current!, desk), [desk, wrapper]);
  useEffect(() => onSettle(() => desk.commit()), [desk]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: cells read marks and texts through `now`
  useEffect(() => desk.cursor.repaint(), [desk, props.marks, props.found]);
  useImperativeHandle(props.handle, () => desk, [desk]);
  return desk;
}

/** Rows as they are held, and the grid's options that hold them; the cursor goes with its row. */
function useRows(props: GridProps, desk: GridDesk, drawnAnew: readonly unknown[]) {
  const { sheet, rows, untouched } = props;
  // biome-ignore lint/correctness/useExhaustiveDependencies: each sheet has rows of its own to hold
  const held = useMemo(() => new HeldRows(), [sheet.id]);
  const rowData = useMemo(() => held.take(rows, untouched), [held, rows, untouched]);
  // The grid hears of these in effects of its own: after the first of ours and before the second.
  // biome-ignore lint/correctness/useExhaustiveDependencies: whatever may make the grid sort and filter
  useLayoutEffect(() => desk.cursor.note(held), [desk, held, rowData, ...drawnAnew]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the same
  useEffect(() => desk.cursor.rejoin(), [desk, held, rowData, ...drawnAnew]);
  const holding = useMemo(
    (): GridOptions<Row> => ({
      getRowId: ({ data }) => held.idOf(data),
      alwaysPassFilter: (node) => desk.holds(held, node),
      postSortRows: ({ nodes, api }) => held.arrange(nodes, api),
    }),
    [held, desk],
  );
  return { rowData: rowData as Row[], holding };
}

/** A cell was typed into: one act, named after its row. */
function onEdit({ current }: Now, { node, column, newValue, api }: CellEditRequestEvent<Row>): void {
  const { fields, scenario, sheet, acts } = current;
  const field = fields.find(({ key }) => key === column.getColId());
  // The grid tells of edits a turn late, perhaps of two at once: the first may have moved the second one's row.
  const data = api.getRowNode(node.id!)?.data;
  if (!field || !data) return;
  const text = String(newValue ?? '');
  const actual = actualField(data, field);
  if (text === editText(actual, data, scenario)) return;
  const name = textOf(fields[0]!, data, scenario) || `new ${sheet.one}`;
  const label = data.field ? name : `${actual.header} of ${name}`;
  flushSync(() => acts.set([{ row: data, field, text }], label));
}

function onFocus({ current }: Now, desk: GridDesk, { rowIndex, column }: CellFocusedEvent<Row>): void {
  if (rowIndex === null || !column || typeof column === 'string') return;
  desk.cursor.follow();
  const field = current.fields.find(({ key }) => key === column.getColId());
  current.acts.focus(desk.cursor.rowAt(rowIndex), field);
}

/** A sheet in, acts out. AG Grid draws, sorts and filters; range, clipboard and keys are in `gridDesk.ts`. */
export function Grid(props: GridProps) {
  const { sheet, fields, rows, filters, zoom, density } = props;
  const now = useRef(props);
  now.current = props;
  const wrapper = useRef<HTMLDivElement>(null);
  const desk = useDesk(props, wrapper);
  const headings = fields.map(({ heading }) => heading?.(props.scenario) ?? '').join();
  // biome-ignore lint/correctness/useExhaustiveDependencies: columns change with these, cells read through `now`
  const columnDefs = useMemo(() => columnsOf(now, desk), [sheet.id, fields, zoom, headings]);
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
  const theme = useMemo(() => themeAt(zoom, density), [zoom, density]);
  const { rowData, holding } = useRows(props, desk, [columnDefs, defaultColDef, theme]);
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
        rowData={rowData}
        columnDefs={columnDefs}
        defaultColDef={defaultColDef}
        {...holding}
        localeText={GRID_WORDS}
        readOnlyEdit
        animateRows={false}
        enterNavigatesVertically
        enterNavigatesVerticallyAfterEdit
        stopEditingWhenCellsLoseFocus
        tooltipShowDelay={400}
        onGridReady={({ api }) => desk.attach(api)}
        onGridPreDestroyed={({ api }) => desk.cursor.detach(api)}
        onBodyScroll={({ direction, top }) => {
          if (direction === 'vertical') desk.drawnTop = top;
        }}
        onModelUpdated={({ api }) =>
          now.current.onShown(sheet.id, api.isColumnFilterPresent() ? api.getDisplayedRowCount() : null)
        }
        onFirstDataRendered={() => desk.cursor.goToAwaited()}
        onRowDataUpdated={() => {
          desk.cursor.rejoin();
          desk.cursor.goToAwaited();
        }}
        onCellEditRequest={(event) => onEdit(now, event)}
        onCellFocused={(event) => onFocus(now, desk, event)}
        onColumnResized={({ finished, column, source }) => {
          if (finished && column && source !== 'api')
            rememberWidth(sheet.id, column.getColId(), (column.getActualWidth() * 100) / zoom);
        }}
        overlayNoRowsTemplate={`<span class="no-rows">No ${sheet.one} yet: add a row, or paste a block here.</span>`}
      />
    </div>
  );
}
