import type { ColDef } from 'ag-grid-community';
import type { RefObject } from 'react';
import { editText, fallbackText } from '../../grid/cells.ts';
import { actualField, textOf } from '../../grid/forms.ts';
import { alsoAs } from '../../grid/readIon.ts';
import { type Field, type Row, valueAt } from '../../grid/sheet.ts';
import { CellEditor } from './CellEditor.tsx';
import type { GridDesk } from './gridDesk.ts';
import type { GridProps, Mark } from './gridTypes.ts';

const widthKey = (sheet: string): string => `bathtide.widths.${sheet}`;
const widthsOf = (sheet: string): Record<string, number> =>
  JSON.parse(localStorage.getItem(widthKey(sheet)) ?? '{}') as Record<string, number>;
/** Keeps a column's width on this computer. @param width px at zoom 100 % */
export const rememberWidth = (sheet: string, column: string, width: number): void =>
  localStorage.setItem(widthKey(sheet), JSON.stringify({ ...widthsOf(sheet), [column]: width }));

/** A cell's text where its column, as wide as it came, would cut it off (8 px a letter), to be shown beside it. */
export const longText = (text: string, { width = 110 }: Field): string | undefined =>
  text.length * 8 > width ? text : undefined;

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

/** A sheet's fields as columns of the grid. Cells read what is current through `now`, so that columns stay the same. */
export function columnsOf(now: RefObject<GridProps>, desk: GridDesk): ColDef<Row>[] {
  const { sheet, fields, zoom, scenario } = now.current;
  const widths = widthsOf(sheet.id);
  const isFound = (text: string): boolean => {
    const { found } = now.current;
    return found !== '' && text.toLowerCase().includes(found.toLowerCase());
  };
  return fields.map((field: Field, index): ColDef<Row> => {
    const number = field.kind === 'number' || field.kind === 'integer';
    const shown = (row: Row): string => textOf(field, row, now.current.scenario);
    /** With the other unit that labels use: '2.5 (1.25 mmol/L)'. */
    const besides = (row: Row): string => {
      const value = field.solute ? valueAt(row.value, field.path) : undefined;
      const also = field.solute && typeof value === 'number' ? alsoAs(field.solute, value) : '';
      return also === '' ? shown(row) : `${shown(row)} (${also})`;
    };
    const markOf = (row: Row | undefined) => row && now.current.marks.get(`${row.key}/${field.key}`);
    return {
      colId: field.key,
      headerName: `${field.heading?.(scenario) ?? field.header}${field.unit ? ` (${field.unit})` : ''}`,
      headerTooltip: field.about,
      width: ((widths[field.key] ?? field.width ?? 110) * zoom) / 100,
      pinned: index === 0 ? 'left' : undefined,
      lockPinned: true,
      editable: field.kind !== 'fixed',
      filter: number ? 'agNumberColumnFilter' : 'agTextColumnFilter',
      suppressHeaderFilterButton: true,
      wrapHeaderText: true,
      type: number || field.numeric ? 'rightAligned' : undefined,
      valueGetter: ({ data }) => {
        if (!data) return '';
        const value =
          data.field || field.show || field.kind === 'flag' ? shown(data) : valueAt(data.value, field.path);
        return Array.isArray(value) ? value.join(', ') : value;
      },
      valueFormatter: ({ data }) =>
        data ? besides(data) || fallbackText(actualField(data, field), now.current.scenario) : '',
      tooltipValueGetter: ({ data }) => markOf(data)?.text ?? (data && longText(shown(data), field)),
      cellClassRules: {
        'cell-in-range': ({ rowIndex, column }) => desk.inRange(rowIndex, column?.getColId()),
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
          choices: (actual.choices?.(now.current.scenario) ?? []).map((value) => ({
            value,
            note: actual.choiceNote?.(value, now.current.scenario) ?? '',
          })),
          leave: (key: string) => desk.leave(key),
        };
      },
    };
  });
}
