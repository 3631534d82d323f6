import { type KeyboardEvent, useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { flushSync } from 'react-dom';
import { customFields } from '../../grid/columns.ts';
import { addRows, deleteRows, duplicateRows, setCells, type Trail } from '../../grid/edits.ts';
import { textOf } from '../../grid/forms.ts';
import { NO_HISTORY } from '../../grid/history.ts';
import type { Field, Row } from '../../grid/sheet.ts';
import { sheetOf } from '../../grid/sheets.ts';
import { placeOfPath } from '../../grid/where.ts';
import { countText } from '../../words/numbers.ts';
import { useHost } from '../state/hostContext.ts';
import { landed, useStore } from '../state/store.ts';
import { ColumnForm } from './ColumnForm.tsx';
import { FaultList } from './FaultList.tsx';
import { Grid } from './Grid.tsx';
import { longText } from './gridColumns.tsx';
import type { GridActs } from './gridDesk.ts';
import type { GridHandle, Mark } from './gridTypes.ts';

/** Marks of one sheet's cells, by 'row key/field key'; an error goes before a warning. */
function useMarks(sheet: string): ReadonlyMap<string, Mark> {
  const scenario = useStore((state) => state.scenario);
  const faults = useStore((state) => state.faults);
  const last = useRef<ReadonlyMap<string, Mark>>(new Map());
  return useMemo(() => {
    const marks = new Map<string, Mark>();
    for (const fault of faults) {
      const place = placeOfPath(scenario, fault.path);
      if (place?.sheet !== sheet) continue;
      const key = `${place.row}/${place.field}`;
      const text = `${fault.message}. Expected: ${fault.hint}${fault.source ? ` (${fault.source})` : ''}`;
      const before = marks.get(key);
      marks.set(key, {
        level: before?.level === 'error' ? 'error' : fault.level,
        text: before ? `${before.text}\n${text}` : text,
      });
    }
    const before = last.current;
    const same =
      before.size === marks.size &&
      [...marks].every(
        ([key, { level, text }]) => before.get(key)?.level === level && before.get(key)?.text === text,
      );
    // The same map as long as nothing in it changes, so that an edit repaints its own cell only.
    if (!same) last.current = marks;
    return last.current;
  }, [scenario, faults, sheet]);
}

function FindBar({
  grid,
  found,
  setFound,
  close,
}: {
  grid: () => GridHandle | null;
  found: string;
  setFound: (text: string) => void;
  close: () => void;
}) {
  const [hits, setHits] = useState({ count: 0, at: 0 });
  const input = useRef<HTMLInputElement>(null);
  useEffect(() => input.current?.select(), []);
  const go = (step: 1 | -1 | 0, text = found) => {
    setHits(grid()?.find(text, step) ?? { count: 0, at: 0 });
    input.current?.focus();
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.key === 'Enter') go(event.shiftKey ? -1 : 1);
    if (event.key === 'Escape') close();
  };
  return (
    <search className="find">
      <input
        ref={input}
        aria-label="Find in this sheet"
        placeholder="Find"
        value={found}
        onChange={(event) => {
          setFound(event.target.value);
          go(0, event.target.value);
        }}
        onKeyDown={onKeyDown}
      />
      <span className="muted" role="status">
        {found === '' ? '' : hits.count === 0 ? 'not found' : `${hits.at} of ${hits.count}`}
      </span>
      <button type="button" onClick={() => go(-1)} aria-label="Previous hit">
        ↑
      </button>
      <button type="button" onClick={() => go(1)} aria-label="Next hit">
        ↓
      </button>
      <button type="button" onClick={close} aria-label="Close find">
        ✕
      </button>
    </search>
  );
}

/** '✕ 1 error, ! 3 warnings' */
const faultText = (errors: number, warnings: number): string =>
  [errors > 0 && `✕ ${countText(errors, 'error')}`, warnings > 0 && `! ${countText(warnings, 'warning')}`]
    .filter(Boolean)
    .join(', ') || '✓ Nothing wrong';

/** One sheet with its tools: rows, filter, find, own columns and what is wrong. */
export function SheetPane({ finding, setFinding }: { finding: boolean; setFinding: (on: boolean) => void }) {
  const scenario = useStore((state) => state.scenario);
  const faults = useStore((state) => state.faults);
  const id = useStore((state) => state.view.sheet);
  const zoom = useStore((state) => state.zoom);
  const untouched = useStore((state) => state.history === NO_HISTORY);
  const edit = useStore((state) => state.edit);
  const select = useStore((state) => state.select);
  const [filters, setFilters] = useState(false);
  const [listing, setListing] = useState(false);
  const [adding, setAdding] = useState(false);
  const [found, setFound] = useState('');
  const [cell, setCell] = useState<{ sheet?: string; row?: Row; field?: Field }>({});
  const [filtered, setFiltered] = useState<{ sheet: string; rows: number | null }>({ sheet: '', rows: null });
  const { say } = useHost();
  const grid = useRef<GridHandle>(null);
  const sheet = sheetOf(id);
  const { columns } = scenario;
  // biome-ignore lint/correctness/useExhaustiveDependencies: own columns change with the list of columns alone
  const fields = useMemo(() => [...sheet.fields, ...customFields(sheet, scenario)], [sheet, columns]);
  const rows = useMemo(() => sheet.rows(scenario), [sheet, scenario]);
  const marks = useMarks(id);
  const errors = faults.filter(({ level }) => level === 'error').length;

  const onShown = useCallback((of: string, count: number | null) => {
    setFiltered((before) =>
      before.sheet === of && before.rows === count ? before : { sheet: of, rows: count },
    );
  }, []);
  const goTo = useCallback((row: string, field: string) => grid.current?.goTo(row, field), []);
  const jump = useStore((state) => state.jump);
  useEffect(() => {
    if (jump?.sheet !== id) return;
    landed();
    goTo(jump.row, jump.field);
  }, [jump, id, goTo]);

  const acts: GridActs = useMemo(
    () => ({
      set: (edits, label) => {
        const trail: Trail = new Map();
        edit(label, setCells(sheet, edits, trail));
        grid.current?.tell(trail);
      },
      paste: (edits, added) => {
        const trail: Trail = new Map();
        const wasEmpty = sheet.rows(useStore.getState().scenario).length === 0;
        edit(`paste ${edits.length + added.flat().length} cells`, (draft) => {
          setCells(sheet, edits, trail)(draft);
          if (added.length > 0) addRows(sheet, sheet.rows(draft).at(-1), added)(draft);
        });
        grid.current?.tell(trail, true);
        if (wasEmpty) goTo(sheet.rows(useStore.getState().scenario)[0]?.key ?? '', sheet.fields[0]!.key);
      },
      say: (text) => say({ tone: 'warn', text }),
      insert: (above) => {
        flushSync(() => edit(`new ${sheet.one}`, addRows(sheet, above, [[]])));
        const shown = sheet.rows(useStore.getState().scenario);
        // One that is nobody's yet comes last.
        const below =
          above && !sheet.nested ? shown.findIndex(({ key }) => key === above.key) + 1 : shown.length - 1;
        const fresh = shown[below];
        if (fresh) goTo(fresh.key, sheet.fields[0]!.key);
      },
      duplicate: (chosen) => edit(`duplicate ${chosen.length} rows`, duplicateRows(sheet, chosen)),
      remove: (chosen) =>
        edit(
          chosen.length === 1 ? `delete ${sheet.one}` : `delete ${chosen.length} rows`,
          deleteRows(sheet, chosen),
        ),
      focus: (row, field) => {
        setCell({ sheet: sheet.id, row, field });
        if (sheet.id === 'patients') select({ patient: row ? String(row.value.id ?? '') : null });
      },
    }),
    [edit, select, sheet, goTo, say],
  );
  const chosen = (act: (rows: readonly Row[]) => void) => () => act(grid.current?.rows() ?? []);
  const shown = filtered.sheet === id ? filtered.rows : null;
  const here = cell.sheet === id ? cell : {};
  const about = here.row?.field?.about ?? here.field?.about;
  const long = here.row && here.field && longText(textOf(here.field, here.row, scenario), here.field);
  const mark = here.row && here.field && marks.get(`${here.row.key}/${here.field.key}`);
  return (
    <section className="pane" aria-label={`Sheet ${sheet.title}`} style={{ flex: 1 }}>
      <div className="pane-head">
        <h2>{sheet.title}</h2>
        <p>{sheet.about}</p>
        {finding ? (
          <FindBar
            grid={() => grid.current}
            found={found}
            setFound={setFound}
            close={() => {
              grid.current?.takeFocus();
              setFinding(false);
              setFound('');
            }}
          />
        ) : (
          <button type="button" className="plain" onClick={() => setFinding(true)}>
            Find
          </button>
        )}
        <button type="button" className="plain" aria-pressed={filters} onClick={() => setFilters(!filters)}>
          Filter
        </button>
        {shown !== null && (
          <>
            <span className="warn" role="status">
              {shown} of {countText(rows.length, 'row')} shown (filter)
            </span>
            <button type="button" onClick={() => grid.current?.clearFilter()}>
              Clear filter
            </button>
          </>
        )}
        {sheet.list && (
          <>
            <button type="button" className="plain" aria-pressed={adding} onClick={() => setAdding(!adding)}>
              Own columns
            </button>
            <button type="button" onClick={() => acts.insert(grid.current?.rows().at(-1))}>
              Add {sheet.one}
            </button>
            <button type="button" onClick={chosen(acts.duplicate)}>
              Duplicate
            </button>
            <button type="button" onClick={chosen(acts.remove)}>
              Delete rows
            </button>
          </>
        )}
        <button
          type="button"
          className={errors > 0 ? 'bad' : undefined}
          aria-expanded={listing}
          disabled={faults.length === 0}
          onClick={() => setListing(!listing)}
        >
          {faultText(errors, faults.length - errors)}
        </button>
      </div>
      {adding && sheet.list && <ColumnForm sheet={sheet} />}
      <Grid
        sheet={sheet}
        fields={fields}
        rows={rows}
        untouched={untouched}
        scenario={scenario}
        marks={marks}
        found={found}
        filters={filters}
        onShown={onShown}
        zoom={zoom}
        acts={acts}
        handle={grid}
      />
      {listing && faults.length > 0 && <FaultList />}
      <p className={`pane-foot ${mark ? (mark.level === 'error' ? 'bad' : 'warn') : ''}`} role="status">
        {mark
          ? `${mark.level === 'error' ? '✕' : '!'} ${mark.text}`
          : [long && `“${long}”`, about ?? 'What a cell means stands here once you are in it.']
              .filter(Boolean)
              .join(' ')}
      </p>
    </section>
  );
}
