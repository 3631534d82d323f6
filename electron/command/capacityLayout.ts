import { stripVTControlCharacters } from 'node:util';
import Table from 'cli-table3';

/** No line of the capacity answer is longer: it fits a plain terminal and a printed page. */
const WIDTH = 100;

/** A sentence in lines of at most WIDTH, those after the first set in by `indent`. */
export function wrapped(text: string, indent = ''): string {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    const next = line === '' ? word : `${line} ${word}`;
    if (stripVTControlCharacters(next).length > WIDTH && line !== '') {
      lines.push(line);
      line = indent + word;
    } else line = next;
  }
  return [...lines, line].join('\n');
}

const lengthOf = (text: string): number =>
  Math.max(
    ...stripVTControlCharacters(text)
      .split('\n')
      .map((line) => line.length),
  );

/** Widths of columns, the widest made narrower until all fit beside their borders. */
function widthsFor(columns: readonly (readonly string[])[]): number[] {
  const widths = columns.map((cells) => Math.max(...cells.map(lengthOf)) + 2);
  const total = () => widths.reduce((sum, width) => sum + width, 1 + widths.length);
  while (total() > WIDTH) widths[widths.indexOf(Math.max(...widths))]! -= 1;
  return widths;
}

/**
 * A table of at most WIDTH columns of characters; what does not fit goes on in the next line of its cell.
 * @param numbersFrom first column of numbers, set to the right
 */
export function fittedTable(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  numbersFrom: number,
): string {
  const colWidths = widthsFor(head.map((name, column) => [name, ...rows.map((row) => row[column] ?? '')]));
  const grid = new Table({
    chars: { mid: '', 'left-mid': '', 'mid-mid': '', 'right-mid': '' },
    style: { head: [], border: [] },
    head: [...head],
    colAligns: head.map((_, column) => (column >= numbersFrom ? 'right' : 'left')),
    colWidths,
    wordWrap: true,
    wrapOnWordBoundary: true,
  });
  for (const row of rows) grid.push([...row]);
  return grid.toString();
}
