import { type RefObject, useMemo } from 'react';
import { flushSync } from 'react-dom';
import { addRows, deleteRows, duplicateRows, setCells, type Trail } from '../../grid/edits.ts';
import { textOf } from '../../grid/forms.ts';
import { overwrittenBy, pasteRecipe } from '../../grid/paste.ts';
import type { Field, Row, Sheet } from '../../grid/sheet.ts';
import { countText, listText } from '../../words/numbers.ts';
import { useStore } from '../state/store.ts';
import type { GridActs } from './gridDesk.ts';
import type { GridHandle } from './gridTypes.ts';

const NAMED = 6;
/** 'bed-04, bed-05 and bed-06', or how many there are. */
function namesOf(sheet: Sheet, rows: readonly Row[]): string {
  const { scenario } = useStore.getState();
  const names = rows.map((row) => textOf(sheet.fields[0]!, row, scenario)).filter((name) => name !== '');
  return names.length === rows.length && rows.length <= NAMED
    ? listText(names)
    : countText(rows.length, 'row');
}

/** Whether the act asks before it is done. */
const asks = (): boolean => useStore.getState().review !== null;

type At = { readonly sheet: Sheet; readonly grid: RefObject<GridHandle | null> };

const setActs = ({ sheet, grid }: At): Pick<GridActs, 'set' | 'paste'> => ({
  set(edits, label) {
    const trail: Trail = new Map();
    const told = edits.length > 1 ? `${countText(edits.length, 'cell')}: ${label}.` : undefined;
    useStore.getState().edit(label, setCells(sheet, edits, trail), { told });
    if (!asks()) grid.current?.tell(trail);
  },
  paste(pasted, asRows) {
    const { scenario, edit } = useStore.getState();
    const trail: Trail = new Map();
    const { names, replaced } = overwrittenBy(sheet, pasted.edits, scenario);
    const wasEmpty = sheet.rows(scenario).length === 0;
    const cells = pasted.edits.length + pasted.added.flat().length;
    const rows = { edits: [], added: asRows };
    const left = pasted.headed === null ? '' : ' The first line repeated the headings and was left out.';
    edit(`paste ${countText(cells, 'cell')}`, pasteRecipe(sheet, pasted, replaced, trail), {
      told: `${countText(cells, 'cell')} pasted.${left}`,
      overwrites: names,
      ...(sheet.list && {
        instead: {
          label: `insert ${countText(asRows.length, 'row')}`,
          recipe: pasteRecipe(sheet, rows, [], new Map()),
          rows: asRows.length,
        },
      }),
    });
    grid.current?.tell(asks() ? new Map() : trail, true);
    if (wasEmpty)
      grid.current?.goTo(sheet.rows(useStore.getState().scenario)[0]?.key ?? '', sheet.fields[0]!.key);
  },
});

const rowActs = ({ sheet, grid }: At): Pick<GridActs, 'insert' | 'duplicate' | 'remove'> => ({
  insert(above) {
    flushSync(() => useStore.getState().edit(`new ${sheet.one}`, addRows(sheet, above, [[]])));
    const shown = sheet.rows(useStore.getState().scenario);
    // One that is nobody's yet comes last.
    const below =
      above && !sheet.nested ? shown.findIndex(({ key }) => key === above.key) + 1 : shown.length - 1;
    const fresh = shown[below];
    if (fresh) grid.current?.goTo(fresh.key, sheet.fields[0]!.key);
  },
  duplicate(rows) {
    const names = namesOf(sheet, rows);
    useStore.getState().edit(`duplicate ${names}`, duplicateRows(sheet, rows), {
      told: `Duplicated ${names}.`,
    });
  },
  remove(rows) {
    const names = namesOf(sheet, rows);
    useStore.getState().edit(`delete ${names}`, deleteRows(sheet, rows), { told: `Deleted ${names}.` });
  },
});

/** What a person does in a sheet, as acts of the session. */
export function useActs(
  sheet: Sheet,
  grid: RefObject<GridHandle | null>,
  look: (row: Row | undefined, field: Field | undefined) => void,
): GridActs {
  return useMemo(() => {
    const at = { sheet, grid };
    return { ...setActs(at), ...rowActs(at), focus: look };
  }, [sheet, grid, look]);
}
