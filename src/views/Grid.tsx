import {
  CellApiModule,
  CellStyleModule,
  ClientSideRowModelApiModule,
  ClientSideRowModelModule,
  type ColDef,
  ColumnApiModule,
  CustomEditorModule,
  EventApiModule,
  type GridApi,
  LocaleModule,
  ModuleRegistry,
  NumberFilterModule,
  RenderApiModule,
  RowApiModule,
  ScrollApiModule,
  type SuppressKeyboardEventParams,
  TextFilterModule,
  TooltipModule,
  themeBalham,
} from 'ag-grid-community';
import { AgGridReact } from 'ag-grid-react';
import { type Ref, useEffect, useImperativeHandle, useMemo, useRef } from 'react';
import type { Scenario } from '../scenario/schema.ts';
import { editText, fallbackText } from '../sheets/cells.ts';
import { fromClipboard, placed, toClipboard } from '../sheets/clipboard.ts';
import type { CellEdit } from '../sheets/edits.ts';
import { actualField, textOf } from '../sheets/forms.ts';
import { type Field, type Row, type Sheet, valueAt } from '../sheets/sheet.ts';
import { CellEditor } from './CellEditor.tsx';
import { type Block, blockOf, extended, holds, isSingle, type Range, type Spot, single } from './range.ts';

ModuleRegistry.registerModules([
  CellApiModule,
  CellStyleModule,
  ClientSideRowModelApiModule,
  ClientSideRowModelModule,
  ColumnApiModule,
  CustomEditorModule,
  EventApiModule,
  LocaleModule,
  NumberFilterModule,
  RenderApiModule,
  RowApiModule,
  ScrollApiModule,
  TextFilterModule,
  TooltipModule,
]);

/** What is wrong with one cell, in words. */
export interface Mark {
  readonly level: 'error' | 'warning';
  readonly text: string;
}
/** What a person does in a sheet; each call is one act and one undo step. */
export interface GridActs {
  set(edits: readonly CellEdit[], label: string): void;
  /** Cells in rows that exist, and rows below `above` (at the end without it) for the rest of the paste. */
  paste(edits: readonly CellEdit[], added: readonly (readonly { field: Field; text: string }[])[]): void;
  insert(above: Row | undefined): void;
  duplicate(rows: readonly Row[]): void;
  remove(rows: readonly Row[]): void;
  /** The cell that is looked at. */
  focus(row: Row | undefined, field: Field | undefined): void;
}
export interface GridHandle {
  goTo(row: string, field: string): void;
  /** Rows of the selected block, in the order on screen. */
  rows(): Row[];
  /** The next cell that holds the text, from the focused one on; how many there are, and which this is. */
  find(text: string, step: 1 | -1 | 0): { readonly count: number; readonly at: number };
}
export interface GridProps {
  readonly sheet: Sheet;
  readonly fields: readonly Field[];
  readonly rows: readonly Row[];
  readonly scenario: Scenario;
  readonly marks: ReadonlyMap<string, Mark>;
  readonly found: string;
  readonly filters: boolean;
  readonly zoom: number;
  readonly acts: GridActs;
  readonly handle: Ref<GridHandle>;
}

const NONCE = document.querySelector<HTMLMetaElement>('meta[property=csp-nonce]')?.nonce || undefined;
const themeAt = (zoom: number) =>
  themeBalham.withParams({
    fontFamily: 'inherit',
    fontSize: (13 * zoom) / 100,
    headerFontSize: (12.5 * zoom) / 100,
    rowHeight: (27 * zoom) / 100,
    headerHeight: (34 * zoom) / 100,
    spacing: (5 * zoom) / 100,
    backgroundColor: 'var(--surface)',
    foregroundColor: 'var(--text)',
    headerBackgroundColor: 'var(--raised)',
    headerTextColor: 'var(--text)',
    borderColor: 'var(--line)',
    accentColor: 'var(--accent)',
    oddRowBackgroundColor: 'var(--surface)',
    rowHoverColor: 'var(--hover)',
    columnBorder: { color: 'var(--line)' },
    wrapperBorder: false,
    wrapperBorderRadius: 0,
  });

const widthKey = (sheet: string): string => `bathtide.widths.${sheet}`;
const widthsOf = (sheet: string): Record<string, number> =>
  JSON.parse(localStorage.getItem(widthKey(sheet)) ?? '{}') as Record<string, number>;

const spotOf = (api: GridApi<Row>): Spot | null => {
  const cell = api.getFocusedCell();
  if (!cell) return null;
  return { row: cell.rowIndex, column: api.getAllDisplayedColumns().indexOf(cell.column) };
};

/** The only file that knows AG Grid: a sheet in, acts out. Range, clipboard and fill are built on its public parts. */
export function Grid(props: GridProps) {
  const { sheet, fields, rows, filters, zoom, handle } = props;
  const now = useRef(props);
  now.current = props;
  const grid = useRef<GridApi<Row> | null>(null);
  const range = useRef<Range | null>(null);
  /** A cell asked for before it was there. */
  const awaited = useRef<{ row: string; field: string } | null>(null);
  /** The mouse drew the range: the focus that follows must not undo it. */
  const byMouse = useRef(false);

  const byKey = useMemo(() => new Map(fields.map((field) => [field.key, field])), [fields]);
  const fieldAt = (column: number): Field | undefined => {
    const id = grid.current?.getAllDisplayedColumns()[column]?.getColId();
    return id === undefined ? undefined : byKey.get(id);
  };
  const rowAt = (index: number): Row | undefined => grid.current?.getDisplayedRowAtIndex(index)?.data;
  const isFound = (text: string): boolean =>
    now.current.found !== '' && text.toLowerCase().includes(now.current.found.toLowerCase());

  const repaint = () => {
    const api = grid.current;
    api?.refreshCells({ force: true, suppressFlash: true, rowNodes: api.getRenderedNodes() });
  };
  const setRange = (next: Range | null) => {
    range.current = next;
    repaint();
  };
  const block = (): Block | null => (range.current ? blockOf(range.current) : null);
  const cellsIn = (area: Block): { row: Row; field: Field }[][] => {
    const lines: { row: Row; field: Field }[][] = [];
    for (let index = area.top; index <= area.bottom; index++) {
      const row = rowAt(index);
      if (!row) continue;
      const line: { row: Row; field: Field }[] = [];
      for (let column = area.left; column <= area.right; column++) {
        const field = fieldAt(column);
        if (field) line.push({ row, field });
      }
      lines.push(line);
    }
    return lines;
  };
  const selectedRows = (): Row[] => {
    const area = block();
    if (!area) return [];
    return cellsIn({ ...area, left: 0, right: 0 }).flatMap((line) => line.map(({ row }) => row));
  };
  const focusAt = (row: number, column: number) => {
    const api = grid.current;
    const target = api?.getAllDisplayedColumns()[column];
    if (!api || !target || row < 0 || row >= api.getDisplayedRowCount()) return;
    api.ensureIndexVisible(row);
    api.ensureColumnVisible(target);
    api.setFocusedCell(row, target);
  };

  const clear = () => {
    const area = block();
    if (!area) return;
    const edits = cellsIn(area).flatMap((line) => line.map((cell) => ({ ...cell, text: '' })));
    now.current.acts.set(
      edits,
      edits.length === 1 ? `clear ${edits[0]!.field.header}` : `clear ${edits.length} cells`,
    );
  };
  const fillDown = () => {
    const area = block();
    if (!area) return;
    const top = area.top === area.bottom ? area.top - 1 : area.top;
    const [source, ...rest] = cellsIn({ ...area, top });
    if (!source) return;
    const texts = source.map(({ row, field }) =>
      editText(actualField(row, field), row, now.current.scenario),
    );
    now.current.acts.set(
      rest.flatMap((line) => line.map((cell, index) => ({ ...cell, text: texts[index]! }))),
      'fill down',
    );
  };
  const copy = (event: ClipboardEvent): boolean => {
    const area = block();
    if (!area || (event.target as Element).closest('input, textarea')) return false;
    const texts = cellsIn(area).map((line) =>
      line.map(({ row, field }) => textOf(field, row, now.current.scenario)),
    );
    event.clipboardData?.setData('text/plain', toClipboard(texts));
    event.preventDefault();
    return true;
  };
  const paste = (event: ClipboardEvent) => {
    const area = block();
    const text = event.clipboardData?.getData('text/plain') ?? '';
    if (!area || text === '' || (event.target as Element).closest('input, textarea')) return;
    event.preventDefault();
    const height = area.bottom - area.top + 1;
    const cells = placed(fromClipboard(text), height, area.right - area.left + 1);
    const edits: CellEdit[] = [];
    const added = new Map<number, { field: Field; text: string }[]>();
    for (const cell of cells) {
      const field = fieldAt(area.left + cell.column);
      if (!field) continue;
      const row = rowAt(area.top + cell.row);
      if (row) edits.push({ row, field, text: cell.text });
      else added.set(cell.row, [...(added.get(cell.row) ?? []), { field, text: cell.text }]);
    }
    now.current.acts.paste(edits, [...added.values()]);
    const down = Math.max(...cells.map(({ row }) => row));
    const across = Math.max(...cells.map(({ column }) => column));
    const anchor = { row: area.top, column: area.left };
    setRange({ anchor, head: { row: area.top + down, column: area.left + across } });
  };

  /** True: the grid leaves this key to us. */
  const ownKey = ({ event, editing, api }: SuppressKeyboardEventParams<Row>): boolean => {
    byMouse.current = false;
    const { key, shiftKey } = event;
    const ctrl = event.ctrlKey || event.metaKey;
    const letter = key.toLowerCase();
    if (editing) {
      if (key !== 'Tab') return false;
      event.preventDefault();
      api.stopEditing();
      if (shiftKey) api.tabToPreviousCell();
      else api.tabToNextCell();
      return true;
    }
    const { acts } = now.current;
    const done = (act: () => void): boolean => {
      event.preventDefault();
      act();
      return true;
    };
    if (key === 'Enter' && ctrl) return done(() => acts.insert(rowAt(block()?.bottom ?? -1)));
    if ((key === 'Delete' || key === 'Backspace') && (ctrl || (shiftKey && key === 'Delete')))
      return done(() => acts.remove(selectedRows()));
    if (key === 'Delete' || key === 'Backspace') return done(clear);
    if (ctrl && shiftKey && letter === 'd') return done(() => acts.duplicate(selectedRows()));
    if (ctrl && letter === 'd') return done(fillDown);
    if (ctrl && letter === 'a') {
      const head = { row: api.getDisplayedRowCount() - 1, column: api.getAllDisplayedColumns().length - 1 };
      return done(() => setRange({ anchor: { row: 0, column: 0 }, head }));
    }
    if (ctrl && ['c', 'x', 'v', 'z', 'y', 'f', 's', 'o', 'p'].includes(letter)) return true;
    if (shiftKey && range.current) {
      const columns = api.getAllDisplayedColumns();
      const next = extended(range.current, key, ctrl, api.getDisplayedRowCount(), columns.length);
      if (next)
        return done(() => {
          api.ensureIndexVisible(next.head.row);
          api.ensureColumnVisible(columns[next.head.column]!);
          setRange(next);
        });
    }
    return false;
  };

  const wrapper = useRef<HTMLDivElement>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the handlers read what is current through refs
  useEffect(() => {
    const element = wrapper.current!;
    const hit = (event: PointerEvent): Spot | null => {
      const cell = (event.target as Element).closest?.('.ag-cell');
      const row = cell?.closest('[row-index]')?.getAttribute('row-index');
      const id = cell?.getAttribute('col-id');
      if (!cell || row == null || !id || cell.classList.contains('ag-cell-inline-editing')) return null;
      const columns = grid.current?.getAllDisplayedColumns() ?? [];
      return { row: Number(row), column: columns.findIndex((column) => column.getColId() === id) };
    };
    const down = (event: PointerEvent) => {
      const spot = hit(event);
      if (!spot || event.button !== 0) return;
      byMouse.current = true;
      setRange(event.shiftKey && range.current ? { anchor: range.current.anchor, head: spot } : single(spot));
    };
    const move = (event: PointerEvent) => {
      if (event.buttons !== 1 || !range.current || !byMouse.current) return;
      const spot = hit(event);
      const { head } = range.current;
      if (spot && (spot.row !== head.row || spot.column !== head.column))
        setRange({ anchor: range.current.anchor, head: spot });
    };
    const cut = (event: ClipboardEvent) => {
      if (copy(event)) clear();
    };
    element.addEventListener('pointerdown', down, true);
    element.addEventListener('pointermove', move);
    element.addEventListener('copy', copy);
    element.addEventListener('cut', cut);
    element.addEventListener('paste', paste);
    return () => {
      element.removeEventListener('pointerdown', down, true);
      element.removeEventListener('pointermove', move);
      element.removeEventListener('copy', copy);
      element.removeEventListener('cut', cut);
      element.removeEventListener('paste', paste);
    };
  }, [byKey]);

  // biome-ignore lint/correctness/useExhaustiveDependencies: cells read marks and texts through `now`
  useEffect(repaint, [props.marks, props.found]);

  const goTo = (row: string, field: string) => {
    const node = grid.current?.getRowNode(row);
    if (node?.rowIndex == null) {
      awaited.current = { row, field };
      return;
    }
    awaited.current = null;
    const columns = grid.current?.getAllDisplayedColumns() ?? [];
    const column = Math.max(
      0,
      columns.findIndex((one) => one.getColId() === field),
    );
    focusAt(node.rowIndex, column);
    setRange(single({ row: node.rowIndex, column }));
  };
  const goToAwaited = () => {
    if (awaited.current) goTo(awaited.current.row, awaited.current.field);
  };

  useImperativeHandle(handle, () => ({
    goTo,
    rows: selectedRows,
    find(text, step) {
      const api = grid.current;
      if (!api || text === '') return { count: 0, at: 0 };
      const wanted = text.toLowerCase();
      const spots: Spot[] = [];
      const columns = api.getAllDisplayedColumns().length;
      for (let row = 0; row < api.getDisplayedRowCount(); row++)
        for (let column = 0; column < columns; column++) {
          const data = rowAt(row);
          const field = fieldAt(column);
          if (data && field && textOf(field, data, now.current.scenario).toLowerCase().includes(wanted))
            spots.push({ row, column });
        }
      const here = spotOf(api) ?? { row: 0, column: -1 };
      const order = ({ row, column }: Spot) => row * columns + column;
      const after = spots.findIndex((spot) => order(spot) > order(here) - (step === 0 ? 1 : 0));
      const before = spots.findLastIndex((spot) => order(spot) < order(here));
      const at = step >= 0 ? Math.max(0, after) : before < 0 ? spots.length - 1 : before;
      const spot = spots[at];
      if (spot) {
        focusAt(spot.row, spot.column);
        setRange(single(spot));
      }
      return { count: spots.length, at: spot ? at + 1 : 0 };
    },
  }));

  // biome-ignore lint/correctness/useExhaustiveDependencies: columns change with the sheet, cells read through `now`
  const columnDefs = useMemo(() => {
    const widths = widthsOf(sheet.id);
    return fields.map((field, index): ColDef<Row> => {
      const number = field.kind === 'number' || field.kind === 'integer';
      const shown = (row: Row): string => textOf(field, row, now.current.scenario);
      const markOf = (row: Row | undefined): Mark | undefined =>
        row && now.current.marks.get(`${row.key}/${field.key}`);
      return {
        colId: field.key,
        headerName: field.unit ? `${field.header} (${field.unit})` : field.header,
        headerTooltip: field.about,
        width: ((widths[field.key] ?? field.width ?? 110) * zoom) / 100,
        pinned: index === 0 ? 'left' : undefined,
        lockPinned: true,
        editable: field.kind !== 'fixed',
        filter: number ? 'agNumberColumnFilter' : 'agTextColumnFilter',
        suppressHeaderFilterButton: true,
        wrapHeaderText: true,
        type: number ? 'rightAligned' : undefined,
        valueGetter: ({ data }) => {
          if (!data) return '';
          const value = data.field || field.show ? shown(data) : valueAt(data.value, field.path);
          return Array.isArray(value) ? value.join(', ') : value;
        },
        valueFormatter: ({ data }) =>
          data ? shown(data) || fallbackText(actualField(data, field), now.current.scenario) : '',
        tooltipValueGetter: ({ data }) => markOf(data)?.text,
        cellClassRules: {
          'cell-in-range': ({ rowIndex, column }) => {
            const area = range.current && !isSingle(range.current) ? blockOf(range.current) : null;
            if (!area || !column || !grid.current) return false;
            return holds(area, rowIndex, grid.current.getAllDisplayedColumns().indexOf(column as never));
          },
          'cell-error': ({ data }) => markOf(data)?.level === 'error',
          'cell-warning': ({ data }) => markOf(data)?.level === 'warning',
          'cell-default': ({ data }) => data !== undefined && shown(data) === '',
          'cell-fixed': () => field.kind === 'fixed',
          'cell-found': ({ data }) => data !== undefined && isFound(shown(data)),
        },
        cellRendererSelector: ({ data }) => {
          const mark = markOf(data);
          return mark ? { component: MarkedCell, params: { mark } } : undefined;
        },
        cellEditor: CellEditor,
        cellEditorParams: ({ data }: { data: Row }) => {
          const actual = actualField(data, field);
          return {
            text: editText(actual, data, now.current.scenario),
            label: `${actual.header}${actual.unit ? `, ${actual.unit}` : ''}`,
            choices: actual.choices?.(now.current.scenario) ?? [],
            leave: (key: string) => {
              const api = grid.current!;
              const spot = spotOf(api);
              api.stopEditing();
              if (!spot) return;
              const row = spot.row + (key === 'ArrowDown' ? 1 : key === 'ArrowUp' ? -1 : 0);
              const column = spot.column + (key === 'ArrowRight' ? 1 : key === 'ArrowLeft' ? -1 : 0);
              focusAt(row, column);
            },
          };
        },
      };
    });
  }, [sheet.id, fields, zoom]);

  const theme = useMemo(() => themeAt(zoom), [zoom]);
  return (
    <div className="grid" ref={wrapper}>
      <AgGridReact<Row>
        key={sheet.id}
        theme={theme}
        styleNonce={NONCE}
        rowData={rows as Row[]}
        columnDefs={columnDefs}
        defaultColDef={{
          sortable: true,
          resizable: true,
          floatingFilter: filters,
          suppressKeyboardEvent: ownKey,
          suppressHeaderMenuButton: true,
        }}
        getRowId={({ data }) => data.key}
        readOnlyEdit
        animateRows={false}
        enterNavigatesVertically
        enterNavigatesVerticallyAfterEdit
        stopEditingWhenCellsLoseFocus
        tooltipShowDelay={400}
        onGridReady={({ api }) => {
          grid.current = api;
        }}
        onGridPreDestroyed={() => {
          grid.current = null;
          range.current = null;
        }}
        onFirstDataRendered={goToAwaited}
        onRowDataUpdated={goToAwaited}
        onCellEditRequest={({ data, column, newValue, oldValue }) => {
          const field = byKey.get(column.getColId());
          if (!field) return;
          const text = String(newValue ?? '');
          const actual = actualField(data, field);
          const name = textOf(fields[0]!, data, now.current.scenario);
          if (text === String(oldValue ?? '') && text === editText(actual, data, now.current.scenario))
            return;
          now.current.acts.set([{ row: data, field, text }], `${actual.header} of ${name}`);
        }}
        onCellFocused={({ api, rowIndex, column }) => {
          if (rowIndex === null || !column || typeof column === 'string') return;
          const spot = { row: rowIndex, column: api.getAllDisplayedColumns().indexOf(column) };
          if (!byMouse.current) setRange(single(spot));
          now.current.acts.focus(rowAt(rowIndex), byKey.get(column.getColId()));
        }}
        onColumnResized={({ finished, column, source }) => {
          if (!finished || !column || source === 'api') return;
          const widths = {
            ...widthsOf(sheet.id),
            [column.getColId()]: (column.getActualWidth() * 100) / zoom,
          };
          localStorage.setItem(widthKey(sheet.id), JSON.stringify(widths));
        }}
        overlayNoRowsTemplate={`<span class="no-rows">No ${sheet.one} yet: add a row, or paste a block here.</span>`}
      />
    </div>
  );
}

/** A cell with a fault: the text, and for a screen reader what is wrong. */
function MarkedCell({ valueFormatted, mark }: { valueFormatted: string | null; mark: Mark }) {
  return (
    <>
      {valueFormatted}
      <span className="sr-only">
        {mark.level}: {mark.text}
      </span>
    </>
  );
}
