import readXlsx from 'read-excel-file/universal';
import writeXlsx, { type Cell, type SheetData } from 'write-excel-file/universal';
import type { Table, TableCell } from '../grid/csv.ts';
import { withinLimits } from './workbookLimits.ts';

export interface NamedTable {
  readonly name: string;
  readonly table: Table;
}
/** The library works in threads of its own and may wait for ever where a policy forbids them. */
const LIMIT_MS = 20_000;

function inTime<T>(work: Promise<T>, what: string): Promise<T> {
  let timer: ReturnType<typeof setTimeout>;
  const limit = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error(`${what} took longer than ${LIMIT_MS / 1000} s`)), LIMIT_MS);
  });
  return Promise.race([work, limit]).finally(() => clearTimeout(timer));
}

const typed = (cell: TableCell, head: boolean): Cell => {
  if (cell === null) return null;
  if (cell instanceof Date) return { value: cell, type: Date, format: 'yyyy-mm-dd hh:mm' };
  if (typeof cell === 'number') return { value: cell, type: Number };
  return { value: cell, type: String, ...(head && { fontWeight: 'bold' as const }) };
};

/** Sheet names as a workbook allows them: no []:*?/\, at most 31 characters, no two alike. */
function sheetNames(tables: readonly NamedTable[]): string[] {
  const taken = new Set<string>();
  return tables.map(({ name }) => {
    const clean = name.replace(/[[\]:*?/\\]/g, ' ').slice(0, 31) || 'Sheet';
    let free = clean;
    for (let n = 2; taken.has(free.toLowerCase()); n++) free = `${clean.slice(0, 28)} ${n}`;
    taken.add(free.toLowerCase());
    return free;
  });
}

const widthOf = (column: readonly TableCell[]): number =>
  Math.min(
    60,
    2 + Math.max(6, ...column.map((cell) => (cell instanceof Date ? 16 : String(cell ?? '').length))),
  );

/** One XLSX workbook (ECMA-376) with a sheet for each table; numbers and times are typed cells, the first line stays in sight. */
export async function toXlsx(tables: readonly NamedTable[]): Promise<Uint8Array> {
  const names = sheetNames(tables);
  const sheets = tables.map(({ table }, index) => ({
    sheet: names[index]!,
    data: table.map((line, at) => line.map((cell) => typed(cell, at === 0))) as SheetData,
    columns: (table[0] ?? []).map((_, column) => ({
      width: widthOf(table.map((line) => line[column] ?? null)),
    })),
    stickyRowsCount: 1,
  }));
  const blob = await inTime(writeXlsx(sheets).toBlob(), 'Writing the workbook');
  return new Uint8Array(await blob.arrayBuffer());
}

/** Every sheet of an XLSX workbook. @throws Error when the bytes are no workbook, or one beyond limits */
export async function fromXlsx(bytes: Uint8Array): Promise<NamedTable[]> {
  try {
    const copy = withinLimits(bytes).slice().buffer;
    const sheets = await inTime(readXlsx(copy), 'Reading the workbook');
    return sheets.map(({ sheet, data }) => ({
      name: sheet,
      table: data.map((line) =>
        line.map(
          (cell): TableCell =>
            cell === null || typeof cell === 'number' || cell instanceof Date ? cell : String(cell),
        ),
      ),
    }));
  } catch (error) {
    throw new Error(
      `not an XLSX workbook that can be read: ${error instanceof Error ? error.message : String(error)}`,
    );
  }
}
