import type { RefObject } from 'react';
import type { Row, Sheet } from '../../grid/sheet.ts';
import { countText } from '../../words/numbers.ts';
import { useStore } from '../state/store.ts';
import { FindBar } from './FindBar.tsx';
import type { GridActs } from './gridDesk.ts';
import type { GridHandle } from './gridTypes.ts';
import { useSuggestions } from './Suggestions.tsx';

/** '✕ 1 error, ! 3 warnings' */
const faultText = (errors: number, warnings: number): string =>
  [errors > 0 && `✕ ${countText(errors, 'error')}`, warnings > 0 && `! ${countText(warnings, 'warning')}`]
    .filter(Boolean)
    .join(', ') || '✓ Nothing wrong';

/** What of a sheet is open beside its rows. */
export interface Open {
  readonly filters: boolean;
  readonly listing: boolean;
  readonly adding: boolean;
  readonly suggesting: boolean;
}
interface ToolsProps {
  readonly sheet: Sheet;
  readonly acts: GridActs;
  readonly grid: RefObject<GridHandle | null>;
  readonly open: Open;
  readonly setOpen: (part: Partial<Open>) => void;
  readonly finding: boolean;
  readonly setFinding: (on: boolean) => void;
  readonly found: string;
  readonly setFound: (text: string) => void;
  /** Rows of all that a filter lets through; null: there is none. */
  readonly shown: number | null;
  readonly rows: number;
}

function Find({ grid, finding, setFinding, found, setFound }: ToolsProps) {
  return finding ? (
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
  );
}

function Filter({ grid, open: { filters }, setOpen, shown, rows }: ToolsProps) {
  return (
    <>
      <button
        type="button"
        className="plain"
        aria-pressed={filters}
        onClick={() => setOpen({ filters: !filters })}
      >
        Filter
      </button>
      {shown !== null && (
        <>
          <span className="warn" role="status">
            {shown} of {countText(rows, 'row')} shown (filter)
          </span>
          <button type="button" onClick={() => grid.current?.clearFilter()}>
            Clear filter
          </button>
        </>
      )}
    </>
  );
}

function RowTools({ sheet, acts, grid, open: { adding }, setOpen }: ToolsProps) {
  const chosen = (act: (rows: readonly Row[]) => void) => () => act(grid.current?.rows() ?? []);
  return (
    <>
      <button
        type="button"
        className="plain"
        aria-pressed={adding}
        onClick={() => setOpen({ adding: !adding })}
      >
        Own columns
      </button>
      <button type="button" onClick={() => acts.insert(undefined)}>
        Add {sheet.one}
      </button>
      <button type="button" onClick={chosen(acts.duplicate)}>
        Duplicate
      </button>
      <button type="button" onClick={chosen(acts.remove)}>
        Delete rows
      </button>
    </>
  );
}

function SuggestionButton({ open: { suggesting }, setOpen }: ToolsProps) {
  const count = useSuggestions().length;
  return count === 0 ? null : (
    <button type="button" aria-expanded={suggesting} onClick={() => setOpen({ suggesting: !suggesting })}>
      {countText(count, 'suggestion')}
    </button>
  );
}

/** A sheet's name and its tools: rows, filter, find, own columns and what is wrong. */
export function SheetTools(props: ToolsProps) {
  const { sheet, open, setOpen } = props;
  const faults = useStore((state) => state.faults);
  const errors = faults.filter(({ level }) => level === 'error').length;
  return (
    <div className="pane-head">
      <h2>{sheet.title}</h2>
      <p>{sheet.about}</p>
      <Find {...props} />
      <Filter {...props} />
      {sheet.list && <RowTools {...props} />}
      <SuggestionButton {...props} />
      <button
        type="button"
        className={errors > 0 ? 'bad' : undefined}
        aria-expanded={open.listing}
        disabled={faults.length === 0}
        onClick={() => setOpen({ listing: !open.listing })}
      >
        {faultText(errors, faults.length - errors)}
      </button>
    </div>
  );
}
