import type { Scenario } from '../scenario/schema.ts';
import { editText } from './cells.ts';
import type { CellEdit } from './edits.ts';
import { actualField, textOf } from './forms.ts';
import type { Field, Row } from './sheet.ts';

export interface Cell {
  readonly row: Row;
  readonly field: Field;
}

/** Empties cells; `label`: as the undo step is called. */
export function cleared(lines: readonly (readonly Cell[])[]): { edits: CellEdit[]; label: string } {
  const edits = lines.flat().map((cell) => ({ ...cell, text: '' }));
  return { edits, label: `clear ${edits.length === 1 ? edits[0]!.field.header : `${edits.length} cells`}` };
}

/** The first line of a block goes into the others, as it was typed. */
export function filledDown(lines: readonly (readonly Cell[])[], scenario: Scenario): CellEdit[] {
  const [source, ...rest] = lines;
  const texts = (source ?? []).map(({ row, field }) => editText(actualField(row, field), row, scenario));
  return rest.flatMap((line) => line.map((cell, index) => ({ ...cell, text: texts[index]! })));
}

/** Places, line by line, of the cells that hold a text, in any case. */
export function cellsWith(lines: readonly (readonly Cell[])[], text: string, scenario: Scenario) {
  const wanted = text.toLowerCase();
  return lines.flatMap((line, row) =>
    line.flatMap((cell, column) =>
      textOf(cell.field, cell.row, scenario).toLowerCase().includes(wanted) ? [{ row, column }] : [],
    ),
  );
}

/** Which of the places found is the next (1), the previous (-1) or this one (0), seen from a cell; goes round. */
export function nextOf(
  spots: readonly { readonly row: number; readonly column: number }[],
  from: { readonly row: number; readonly column: number },
  step: 1 | -1 | 0,
): number {
  const rank = (spot: { readonly row: number; readonly column: number }) =>
    Math.sign(spot.row - from.row || spot.column - from.column);
  if (step >= 0)
    return Math.max(
      0,
      spots.findIndex((spot) => rank(spot) > (step === 0 ? -1 : 0)),
    );
  const before = spots.findLastIndex((spot) => rank(spot) < 0);
  return before < 0 ? spots.length - 1 : before;
}
