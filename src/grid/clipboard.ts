import Papa from 'papaparse';
import { guarded, unguarded } from './csv.ts';
import { isPlainNumber, knowsUnit } from './formula.ts';

/**
 * Cells as tab-separated text, the form in which spreadsheets exchange blocks; cells with tabs or line ends are quoted,
 * and text that a spreadsheet would run as a formula is guarded.
 */
export const toClipboard = (cells: readonly (readonly string[])[]): string =>
  Papa.unparse(
    cells.map((line) => line.map((text) => (isPlainNumber(text) ? text : guarded(text)))),
    { delimiter: '\t', newline: '\r\n' },
  );

/** A pasted block as rows of cells, all equally long. A last empty line, which spreadsheets add, is no row. */
export function fromClipboard(text: string): string[][] {
  const { data } = Papa.parse<string[]>(text, { delimiter: '\t' });
  const last = data.at(-1);
  const rows = last?.length === 1 && last[0] === '' && data.length > 1 ? data.slice(0, -1) : data;
  // Not Math.max(...): a hundred thousand rows are more than a call takes arguments.
  const width = rows.reduce((most, row) => Math.max(most, row.length), 1);
  return rows.map((row) => [...row.map(unguarded), ...new Array<string>(width - row.length).fill('')]);
}

/** A pasted column or row of numbers as the text of one cell that holds a list of them; null: the block is no such thing. */
export function oneList(block: readonly (readonly string[])[]): string | null {
  const texts = block.flat().map((text) => text.trim());
  const line = block.length === 1 || block.every((row) => row.length === 1);
  const numbers = texts.filter((text) => text !== '');
  return line && numbers.length > 1 && numbers.every(isPlainNumber) ? numbers.join(', ') : null;
}

interface Placed {
  /** Counted from the first cell of the paste. */
  readonly row: number;
  readonly column: number;
  readonly text: string;
}

/**
 * Where each text of a pasted block goes: one cell fills the whole selection, a block repeats when the selection is a
 * multiple of it, else it lands once from the first cell on.
 */
export function placed(block: readonly (readonly string[])[], rows: number, columns: number): Placed[] {
  const height = block.length;
  const width = block[0]?.length ?? 0;
  const down = rows % height === 0 ? Math.max(1, rows / height) : 1;
  const across = columns % width === 0 ? Math.max(1, columns / width) : 1;
  const cells: Placed[] = [];
  for (let row = 0; row < height * down; row++)
    for (let column = 0; column < width * across; column++)
      cells.push({ row, column, text: block[row % height]![column % width]! });
  return cells;
}

const bare = (text: string): string =>
  text
    .replace(/[([][^)\]]*[)\]]/g, '')
    .replace(/\s+/g, '')
    .toLowerCase();

/**
 * A line that repeats the headers of the columns it lands on, as tables copied with their heads do. Units in brackets
 * may differ: see `inUnitOf`.
 * @param names of each column, any of which its head may bear
 */
export function isHeaderLine(line: readonly string[], names: readonly (readonly string[])[]): boolean {
  const landed = line.slice(0, names.length);
  return (
    landed.length > 0 &&
    landed.every((text, column) => names[column]!.some((name) => bare(text) === bare(name)))
  );
}

/** A plain number below a header with a known unit in brackets, in that unit: pounds must not be taken for kilograms. */
export function inUnitOf(header: string, text: string, unit: string | undefined): string {
  const said = /[([]([^)\]]+)[)\]]\s*$/.exec(header)?.[1]?.trim() ?? '';
  return isPlainNumber(text.trim()) && unit && said !== unit && knowsUnit(said)
    ? `${text.trim()} ${said}`
    : text;
}
