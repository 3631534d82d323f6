import { type RefObject, useMemo } from 'react';
import { flushSync } from 'react-dom';
import { type Manner, readCell } from '../../grid/cells.ts';
import { addRows, type CellEdit, deleteRows, duplicateRows, setCells, type Trail } from '../../grid/edits.ts';
import { actualField, textOf } from '../../grid/forms.ts';
import { overwrittenBy, type Pasted, pasteRecipe } from '../../grid/paste.ts';
import { newName, referencesTo } from '../../grid/renaming.ts';
import type { Field, Row, Sheet } from '../../grid/sheet.ts';
import { countText, listText, plural } from '../../words/numbers.ts';
import { dateText } from '../../words/times.ts';
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

/** A time without a date is the next such one from the session's now. */
const manner = (): Manner => {
  const { problem, now } = useStore.getState();
  return problem ? { now: problem.clock.localOf(now) } : {};
};
/** What a text that left something out was taken for, e.g. '14:00 was read as Mon, Feb 3, 2031, 14:00.' */
function readAs({ row, field, text }: CellEdit, how: Manner): string | undefined {
  const actual = actualField(row, field);
  const { value, guessed } = readCell(actual, text, useStore.getState().scenario, how);
  if (!guessed || typeof value !== 'string') return undefined;
  if (actual.kind !== 'time') return `${text.trim()} was read as ${value}.`;
  return `${text.trim()} was read as ${dateText(value.slice(0, 10), true)}, ${value.slice(11, 16)}.`;
}

/** What a label typed anew takes along, e.g. 'Renamed 4K to 4K-35: 5 places follow.' */
function renamedTold(sheet: Sheet, { row, field, text }: CellEdit): string | undefined {
  const { scenario } = useStore.getState();
  const named = field.key === sheet.fields[0]!.key ? newName(sheet, row, text, scenario) : null;
  const count = named && sheet.list ? referencesTo(scenario, sheet.list, named.from) : 0;
  if (!named || count === 0) return undefined;
  return `Renamed ${named.from} to ${named.to}: ${countText(count, 'place')} ${plural(count, 'follows', 'follow')}.`;
}

/** How many times of a paste left something out, with the first of them. */
function timesRead({ edits, added }: Pasted, how: Manner): string {
  const { scenario } = useStore.getState();
  const cells = [...edits, ...added.flat()].filter(
    ({ field, text }) => field.kind === 'time' && readCell(field, text, scenario, how).guessed,
  );
  const [first] = cells;
  if (!first) return '';
  const { value } = readCell(first.field, first.text, scenario, how);
  return ` ${countText(cells.length, 'time')} had no full date: ${first.text} was read as ${String(value).replace('T', ' ')}.`;
}

type At = { readonly sheet: Sheet; readonly grid: RefObject<GridHandle | null> };

const setActs = ({ sheet, grid }: At): Pick<GridActs, 'set' | 'paste'> => ({
  set(edits, label) {
    const trail: Trail = new Map();
    const how = manner();
    const told =
      edits.length > 1
        ? `${countText(edits.length, 'cell')}: ${label}.`
        : edits.map((one) => renamedTold(sheet, one) ?? readAs(one, how))[0];
    const givesRow = sheet.nested !== undefined && edits.length === 1 && edits[0]!.field.key === 'owner';
    useStore.getState().edit(label, setCells(sheet, edits, trail, how), { told, givesRow });
    grid.current?.tell(trail);
  },
  paste(pasted, asRows) {
    const { scenario, edit } = useStore.getState();
    const trail: Trail = new Map();
    const { names, replaced } = overwrittenBy(sheet, pasted.edits, scenario);
    const how = manner();
    const wasEmpty = sheet.rows(scenario).length === 0;
    const cells = pasted.edits.length + pasted.added.flat().length;
    const rows = { edits: [], added: asRows };
    const left = pasted.headed === null ? '' : ' The first line gave the headings.';
    edit(`paste ${countText(cells, 'cell')}`, pasteRecipe(sheet, pasted, { replaced, trail, manner: how }), {
      told: `${countText(cells, 'cell')} pasted.${left}${timesRead(pasted, how)}`,
      overwrites: names,
      leftOut: pasted.leftOut,
      ...(sheet.list && {
        instead: {
          label: `insert ${countText(asRows.length, 'row')}`,
          recipe: pasteRecipe(sheet, rows, { manner: how }),
          rows: asRows.length,
        },
      }),
    });
    grid.current?.tell(trail, true);
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
