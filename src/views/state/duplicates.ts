import type { Step } from '../../grid/history.ts';
import { valueAt } from '../../grid/sheet.ts';
import type { Fault } from '../../scenario/faults/faults.ts';
import type { Scenario } from '../../scenario/schema.ts';

/** The earlier row of the same list that has the very name which a fault leads to; -1: the fault is none of a name twice. */
function twinOf(scenario: Scenario, [list, index, key, ...more]: Fault['path']): number {
  if (typeof list !== 'string' || typeof index !== 'number' || typeof key !== 'string' || more.length > 0)
    return -1;
  if (!['id', 'lot', 'item'].includes(key)) return -1;
  const rows = valueAt(scenario, [list]) as readonly Record<string, unknown>[];
  return rows.findIndex((row, at) => at < index && row?.[key] === rows[index]?.[key]);
}

/** Of two rows, the one whose field was typed last; null: neither has been since the file was opened. */
function typedLast(
  past: readonly Step[],
  list: string,
  key: string,
  rows: readonly [number, number],
): number | null {
  for (const { before, after } of [...past].reverse()) {
    const changed = rows.find(
      (row) => valueAt(before, [list, row, key]) !== valueAt(after, [list, row, key]),
    );
    if (changed !== undefined) return changed;
  }
  return null;
}

/** A name that two rows have is marked where it was typed last, not where the list happens to have it second. */
export const markEdited = (faults: readonly Fault[], scenario: Scenario, past: readonly Step[]): Fault[] =>
  faults.map((fault) => {
    const twin = fault.level === 'error' ? twinOf(scenario, fault.path) : -1;
    if (twin < 0) return fault;
    const [list, index, key] = fault.path as [string, number, string];
    const row = typedLast(past, list, key, [twin, index]) ?? index;
    return row === index ? fault : { ...fault, path: [list, row, key] };
  });
