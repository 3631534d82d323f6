import type { Scenario } from '../scenario/schema.ts';
import { readCell } from './cells.ts';
import { addRows, type CellEdit, deleteRows, setCells } from './edits.ts';
import { actualField, textOf } from './forms.ts';
import { isPlainNumber } from './formula.ts';
import { type Mapping, mapHeadings } from './headings.ts';
import type { Recipe } from './history.ts';
import { type Field, type Row, type Sheet, valueAt } from './sheet.ts';

/** match: rows of a known name are changed, others added. replace: the table's rows take the place of all rows. */
export type ImportMode = 'match' | 'replace';

export interface Change {
  readonly kind: 'changed' | 'added' | 'removed';
  readonly row: string;
  readonly field: string;
  readonly before: string;
  readonly after: string;
  /** What is wrong with the new text, else null; it is taken in as it is and marked. */
  readonly problem: string | null;
}
export interface Preview {
  readonly changes: readonly Change[];
  /** Rows that stay as they are. */
  readonly same: number;
  readonly recipe: Recipe;
}

/** Which field each column means, by its heading: 'Weight (lb)' is the weight, in lb. */
export const guessMapping = (sheet: Sheet, headers: readonly string[]): Mapping =>
  mapHeadings(sheet.fields, headers);

type Cells = { field: Field; text: string }[];

/** What taking a table in would change, and the one act that does it. @param table without its header line */
export function previewImport(
  sheet: Sheet,
  scenario: Scenario,
  table: readonly (readonly string[])[],
  mapping: Mapping,
  mode: ImportMode,
): Preview {
  const name = sheet.fields[0]!;
  const existing = sheet.rows(scenario);
  const free = new Map<string, Row>();
  if (!sheet.nested) for (const row of existing) free.set(textOf(name, row, scenario), row);
  const lines = table.map((line) =>
    mapping.flatMap((column, index): Cells => {
      const field = column && sheet.fields.find(({ key }) => key === column.field);
      if (!field) return [];
      const text = (line[index] ?? '').trim();
      return [{ field, text: column.unit && isPlainNumber(text) ? `${text} ${column.unit}` : text }];
    }),
  );
  const changes: Change[] = [];
  const edits: CellEdit[] = [];
  const added: Cells[] = [];
  let same = 0;
  const kept = new Set<Row>();
  for (const cells of lines) {
    const id = cells.find(({ field }) => field.key === name.key)?.text ?? '';
    const row = mode === 'match' || !sheet.list ? free.get(id) : undefined;
    if (row) {
      kept.add(row);
      const differing = cells.filter(({ field, text }) => {
        if (field.kind === 'fixed' || field.key === name.key) return false;
        const actual = actualField(row, field);
        const { value } = readCell(actual, text, scenario);
        return JSON.stringify(value ?? null) !== JSON.stringify(valueAt(row.value, actual.path) ?? null);
      });
      if (differing.length === 0) same += 1;
      for (const { field, text } of differing) {
        edits.push({ row, field, text });
        const actual = actualField(row, field);
        const problem = readCell(actual, text, scenario).problem ?? null;
        changes.push({
          kind: 'changed',
          row: id,
          field: field.header,
          before: textOf(field, row, scenario),
          after: text,
          problem,
        });
      }
    } else if (sheet.list && cells.some(({ text }) => text !== '')) {
      added.push(cells);
      const bad = cells
        .map(({ field, text }) => readCell(field, text, scenario).problem)
        .find((problem) => problem);
      const after = cells.filter(({ text }) => text !== '').map(({ text }) => text);
      changes.push({
        kind: 'added',
        row: id,
        field: '',
        before: '',
        after: after.join(' · '),
        problem: bad ?? null,
      });
    }
  }
  const removed = mode === 'replace' && sheet.list ? existing : [];
  for (const row of removed)
    changes.push({
      kind: 'removed',
      row: textOf(name, row, scenario),
      field: '',
      before: '',
      after: '',
      problem: null,
    });
  const recipe: Recipe = (draft) => {
    setCells(sheet, edits)(draft);
    deleteRows(sheet, removed)(draft);
    // Fields that the table does not have must not be guessed from the row above.
    addRows({ ...sheet, fresh: () => ({}) }, undefined, added)(draft);
  };
  return { changes, same, recipe };
}
