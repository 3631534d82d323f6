import type { Trail } from './edits.ts';
import type { Row } from './sheet.ts';

export interface KnownRow {
  readonly id: string;
  readonly row: Row;
}
type Look = (row: Row) => unknown;

const content: Look = ({ value }) => JSON.stringify(value);
/** From sure to likely. Undo makes rows anew, so their content says which they are; a typed cell leaves the place. */
const LOOKS: readonly Look[] = [
  ({ value }) => value,
  (row) => `${row.owner}/${content(row)}`,
  content,
  ({ key }) => key,
];

/**
 * Ids for rows after an act: each row keeps its own, wherever the act has put it; new rows get fresh ones. A cursor that
 * went by place instead would go on in another patient's row.
 * @param trail where the act says that rows went
 */
export function idsAfter(
  before: readonly KnownRow[],
  after: readonly Row[],
  fresh: () => string,
  trail: Trail = new Map(),
): string[] {
  const ids = new Map<Row, string>();
  const left = new Set(before);
  const pair = (known: KnownRow, row: Row) => {
    ids.set(row, known.id);
    left.delete(known);
  };
  const byKey = new Map(after.map((row) => [row.key, row]));
  for (const known of before) {
    const row = byKey.get(trail.get(known.row.key) ?? '');
    if (row) pair(known, row);
  }
  for (const look of LOOKS) {
    if (left.size === 0) break;
    const found = new Map<unknown, KnownRow[]>();
    for (const known of left) {
      const same = found.get(look(known.row));
      if (same) same.push(known);
      else found.set(look(known.row), [known]);
    }
    for (const row of after) {
      const known = ids.has(row) ? undefined : found.get(look(row))?.shift();
      if (known) pair(known, row);
    }
  }
  const rest = after.filter((row) => !ids.has(row));
  const [last] = left;
  if (last && left.size === 1 && rest.length === 1) pair(last, rest[0]!);
  return after.map((row) => ids.get(row) ?? fresh());
}

/** `after` in the order of `before`; what is new stands below what it follows in `after`, at its end at the end. */
export function keptOrder(before: readonly string[], after: readonly string[], newLast = false): string[] {
  const now = new Set(after);
  const then = new Set(before);
  const below = new Map<string | undefined, string[]>();
  const last: string[] = [];
  const lastKnown = newLast ? -1 : after.findLastIndex((id) => then.has(id));
  let above: string | undefined;
  for (const [index, id] of after.entries()) {
    if (then.has(id)) above = id;
    else if (index > lastKnown) last.push(id);
    else below.set(above, [...(below.get(above) ?? []), id]);
  }
  const kept = before.filter((id) => now.has(id)).flatMap((id) => [id, ...(below.get(id) ?? [])]);
  return [...(below.get(undefined) ?? []), ...kept, ...last];
}
