import Papa from 'papaparse';
import { isLocalTime } from '../calendar/clock.ts';
import type { Scenario } from '../scenario/schema.ts';
import { CAUTION } from '../words/cautions.ts';
import { actualField, textOf } from './forms.ts';
import { type Field, type Row, type Sheet, valueAt } from './sheet.ts';

/** A cell as a file holds it: a number stays a number, a local time is a date without a zone. */
export type TableCell = string | number | Date | null;
export type Table = readonly (readonly TableCell[])[];

const headerOf = ({ header, unit }: Field): string => (unit ? `${header} (${unit})` : header);

const asDate = (local: string): Date => new Date(`${local.slice(0, 16)}Z`);
/** A date cell as it is typed into a sheet, e.g. 2031-02-03 07:00. */
export const dateText = (date: Date): string => {
  const minutes = new Date(Math.round(date.getTime() / 60_000) * 60_000);
  return minutes.toISOString().slice(0, 16).replace('T', ' ');
};

function cellOf(column: Field, row: Row, scenario: Scenario): TableCell {
  const field = actualField(row, column);
  const value = field.show ? undefined : valueAt(row.value, field.path);
  if (typeof value === 'number') return value;
  if (field.kind === 'time' && typeof value === 'string' && isLocalTime(value)) return asDate(value);
  const text = textOf(column, row, scenario);
  return text === '' ? null : text;
}

/** A sheet as a table: headers with units, then one line a row. Empty cells stay empty, defaults are not written out. */
export const tableOf = (sheet: Sheet, fields: readonly Field[], scenario: Scenario): TableCell[][] => [
  fields.map(headerOf),
  ...sheet.rows(scenario).map((row) => fields.map((field) => cellOf(field, row, scenario))),
];

/**
 * The same table with the short caution at the head of a last column of its own, and what else must be read first: a
 * file of rows goes from hand to hand. Reading it back passes over that column, as no field bears its name.
 */
export const withCaution = (table: Table, first: readonly string[] = []): TableCell[][] =>
  table.map((line, index) => [...line, index === 0 ? [...first, CAUTION.short].join('. ') : null]);

/** What makes a spreadsheet take a text for a formula, apostrophes of ours before it included. */
const AT_START = /^(?='*[=+\-@\t\r])/;
/** The same behind what another locale's spreadsheet takes for the end of a cell. */
const INSIDE = /([;|\t\r\n]\s{0,3}"{0,3})(?='*[=+\-@])/g;
/** Text that a spreadsheet would run as a formula is led by an apostrophe; `unguarded` takes it away again. */
export const guarded = (text: string): string => text.replace(AT_START, "'").replace(INSIDE, "$1'");
export const unguarded = (text: string): string =>
  text.replace(/^'(?='*[=+\-@\t\r])/, '').replace(/([;|\t\r\n]\s{0,3}"{0,3})'(?='*[=+\-@])/g, '$1');

const written = (cell: TableCell): string | number => {
  if (cell === null) return '';
  if (cell instanceof Date) return dateText(cell);
  return typeof cell === 'string' ? guarded(cell) : cell;
};
/** What some spreadsheet takes for the end of a cell. */
const SEPARATES = /[,;|\t]/;

/** A table as CSV (RFC 4180) with a byte order mark, so that every spreadsheet reads it as UTF-8. */
export const toCsv = (table: Table): string =>
  `\ufeff${Papa.unparse(
    table.map((line) => line.map(written)),
    { newline: '\r\n', quotes: (cell) => typeof cell === 'string' && SEPARATES.test(cell) },
  )}\r\n`;

/** CSV with comma, semicolon or tab; blank lines are passed over. @throws SyntaxError on a quote that never ends */
export function fromCsv(text: string): string[][] {
  const { data, errors, meta } = Papa.parse<string[]>(text.replace(/^\ufeff/, ''), {
    skipEmptyLines: 'greedy',
  });
  const bad = errors.find(({ type }) => type === 'Quotes');
  if (bad) throw new SyntaxError(`not CSV: ${bad.message} in line ${(bad.row ?? 0) + 1}`);
  // Where the comma does not part the cells it is the decimal sign.
  const read = meta.delimiter === ';' ? (cell: string) => withPoint(unguarded(cell)) : unguarded;
  return data.map((line) => line.map(read));
}

/** '2,5' and '1.234,5 mL/h' as programs write them; a list '1, 2' stays one. */
function withPoint(text: string): string {
  const [, sign = '', whole = '', part = '', rest = ''] =
    /^\s*([+-]?)(\d{1,3}(?:\.\d{3})+|\d+),(\d+)(\s*[^\d,;]*)$/.exec(text) ?? [];
  return part === '' ? text : `${sign}${whole.replaceAll('.', '')}.${part}${rest}`;
}

/** A table read from a file as texts, the way a person would type them. */
export const asTexts = (table: Table): string[][] =>
  table.map((line) =>
    line.map((cell) => (cell === null ? '' : cell instanceof Date ? dateText(cell) : String(cell))),
  );
