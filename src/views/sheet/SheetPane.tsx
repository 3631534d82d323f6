import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { customFields } from '../../grid/columns.ts';
import { textOf } from '../../grid/forms.ts';
import { NO_HISTORY } from '../../grid/history.ts';
import type { Field, Row } from '../../grid/sheet.ts';
import { sheetOf } from '../../grid/sheets.ts';
import { landed, useStore } from '../state/store.ts';
import { ColumnForm } from './ColumnForm.tsx';
import { FaultList } from './FaultList.tsx';
import { Grid } from './Grid.tsx';
import { longText } from './gridColumns.tsx';
import type { GridHandle, Mark } from './gridTypes.ts';
import { type Open, SheetTools } from './SheetTools.tsx';
import { SuggestionList } from './Suggestions.tsx';
import { useActs } from './useActs.ts';
import { useMarks } from './useMarks.ts';

interface Looked {
  readonly sheet?: string;
  readonly row?: Row;
  readonly field?: Field;
}

/** What the cell that is looked at means, or what is wrong with it. */
function CellFoot({ cell: { row, field }, mark }: { cell: Looked; mark: Mark | undefined }) {
  const scenario = useStore((state) => state.scenario);
  const about = row?.field?.about ?? field?.about;
  const long = row && field && longText(textOf(field, row, scenario), field);
  const text = mark
    ? `${mark.level === 'error' ? '✕' : '!'} ${mark.text}`
    : [long && `“${long}”`, about ?? 'Choose a cell to read what it means.'].filter(Boolean).join(' ');
  const tone = mark ? (mark.level === 'error' ? 'bad' : 'warn') : '';
  return (
    <p className={`pane-foot ${tone}`} role="status">
      {text}
    </p>
  );
}

/** One sheet with its tools. */
export function SheetPane({ finding, setFinding }: { finding: boolean; setFinding: (on: boolean) => void }) {
  const scenario = useStore((state) => state.scenario);
  const faulty = useStore((state) => state.faults.length > 0);
  const id = useStore((state) => state.view.sheet);
  const zoom = useStore((state) => state.zoom);
  const density = useStore((state) => state.density);
  const untouched = useStore((state) => state.history === NO_HISTORY);
  const select = useStore((state) => state.select);
  const jump = useStore((state) => state.jump);
  const [open, setOpen] = useState<Open>({
    filters: false,
    listing: false,
    adding: false,
    suggesting: false,
  });
  const [found, setFound] = useState('');
  const [cell, setCell] = useState<Looked>({});
  const [filtered, setFiltered] = useState<{ sheet: string; rows: number | null }>({ sheet: '', rows: null });
  const grid = useRef<GridHandle>(null);
  const sheet = sheetOf(id);
  const { columns } = scenario;
  // biome-ignore lint/correctness/useExhaustiveDependencies: own columns change with the list of columns alone
  const fields = useMemo(() => [...sheet.fields, ...customFields(sheet, scenario)], [sheet, columns]);
  const rows = useMemo(() => sheet.rows(scenario), [sheet, scenario]);
  const marks = useMarks(id);

  const onShown = useCallback((of: string, count: number | null) => {
    setFiltered((before) =>
      before.sheet === of && before.rows === count ? before : { sheet: of, rows: count },
    );
  }, []);
  const look = useCallback(
    (row: Row | undefined, field: Field | undefined) => {
      setCell({ sheet: sheet.id, row, field });
      if (sheet.id === 'patients') select({ patient: row ? String(row.value.id ?? '') : null });
    },
    [sheet, select],
  );
  const acts = useActs(sheet, grid, look);
  useEffect(() => {
    if (jump?.sheet !== id) return;
    landed();
    grid.current?.goTo(jump.row, jump.field);
  }, [jump, id]);

  const asked = useStore((state) => state.review);
  useEffect(() => {
    // Answered: what it said of its rows has been heard, or is of no use.
    if (!asked) grid.current?.forget();
  }, [asked]);

  const here = cell.sheet === id ? cell : {};
  return (
    <section className="pane" aria-label={`Sheet ${sheet.title}`} style={{ flex: 1 }}>
      <SheetTools
        sheet={sheet}
        acts={acts}
        grid={grid}
        open={open}
        setOpen={(part) => setOpen({ ...open, ...part })}
        finding={finding}
        setFinding={setFinding}
        found={found}
        setFound={setFound}
        shown={filtered.sheet === id ? filtered.rows : null}
        rows={rows.length}
      />
      {open.adding && sheet.list && <ColumnForm sheet={sheet} />}
      {open.suggesting && <SuggestionList />}
      <Grid
        sheet={sheet}
        fields={fields}
        rows={rows}
        untouched={untouched}
        scenario={scenario}
        marks={marks}
        found={found}
        filters={open.filters}
        onShown={onShown}
        zoom={zoom}
        density={density}
        acts={acts}
        handle={grid}
      />
      {open.listing && faulty && <FaultList />}
      <CellFoot cell={here} mark={here.row && here.field && marks.get(`${here.row.key}/${here.field.key}`)} />
    </section>
  );
}
