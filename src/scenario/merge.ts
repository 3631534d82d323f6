/**
 * Three-way merge of scenarios as JSON, row by row and field by field. Pure; who is "mine" and who is "theirs" does not
 * matter to what comes out, only to how a conflict is told.
 */

/** A field, row or order that both have changed, and not to the same. A value that is not there is `undefined`. */
export interface Conflict {
  /** Field names, and rows by what names them: patients, bed-04, dose. */
  readonly path: readonly string[];
  readonly base: unknown;
  readonly mine: unknown;
  readonly theirs: unknown;
}
export type Side = 'mine' | 'theirs';
/** What one side has changed: for telling a person what comes in. */
export interface Change {
  readonly path: readonly string[];
  readonly before: unknown;
  readonly after: unknown;
}
interface Merged {
  readonly value: unknown;
  readonly conflicts: readonly Conflict[];
}
/** A conflict's name, for `choices`. */
export const conflictKey = ({ path }: Pick<Conflict, 'path'>): string => JSON.stringify(path);

type Fields = Readonly<Record<string, unknown>>;
interface Merging extends Asking {
  readonly conflicts: Conflict[];
}
/** How it is asked. */
interface Asking {
  /** Answers, by `conflictKey`; a question without one stands as theirs. */
  readonly choices: ReadonlyMap<string, Side>;
  /** What they alone have changed is asked about too, field by field, so that each can be left out. */
  readonly each?: boolean;
}
interface Three {
  readonly base: unknown;
  readonly mine: unknown;
  readonly theirs: unknown;
}

/** Fields whose parts mean something only together: half of one and half of another would be a third that nobody typed. */
const WHOLE = new Set(['loaded', 'share', 'inUse', 'startsPerDay', 'breakdowns', 'columns', 'variants']);
/** What names a row, the first that it has. */
const NAMES = ['id', 'lot', 'item', 'at', 'from', 'fromDay', 'name'];

const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Equal as JSON, whatever the order of fields. */
export function same(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (Array.isArray(a) && Array.isArray(b))
    return a.length === b.length && a.every((value, at) => same(value, b[at]));
  if (!isFields(a) || !isFields(b)) return false;
  const keys = Object.keys(a);
  return (
    keys.length === Object.keys(b).length &&
    keys.every((key) => Object.hasOwn(b, key) && same(a[key], b[key]))
  );
}

function nameOf(row: Fields): string | null {
  const key = NAMES.find((name) => ['string', 'number'].includes(typeof row[name]));
  return key === undefined ? null : String(row[key]);
}

/** A list of rows by name, in its order; a name that comes again is numbered. null: no list of rows that have names. */
function rowsOf(list: unknown): Map<string, unknown> | null {
  if (list === undefined) return new Map();
  if (!Array.isArray(list)) return null;
  const rows = new Map<string, unknown>();
  for (const row of list) {
    const name = isFields(row) ? nameOf(row) : null;
    if (name === null) return null;
    let free = name;
    for (let n = 2; rows.has(free); n++) free = `${name} (${n})`;
    rows.set(free, row);
  }
  return rows;
}

/** What both have changed is asked about; until it is answered, the other's stands, since the file holds it already. */
function decide(path: readonly string[], { base, mine, theirs }: Three, merging: Merging): unknown {
  const conflict = { path, base, mine, theirs };
  const choice = merging.choices.get(conflictKey(conflict));
  if (choice === undefined) merging.conflicts.push(conflict);
  return choice === 'mine' ? mine : theirs;
}

function mergeValue(path: readonly string[], three: Three, merging: Merging): unknown {
  const { base, mine, theirs } = three;
  if (same(mine, theirs)) return mine;
  if (same(base, theirs)) return mine;
  if (same(base, mine) && !merging.each) return theirs;
  const field = path.at(-1) ?? '';
  const lawful = [base, mine, theirs].some((one) => isFields(one) && 'law' in one);
  if (WHOLE.has(field) || lawful) return decide(path, three, merging);
  if (isFields(mine) && isFields(theirs) && (base === undefined || isFields(base)))
    return mergeFields(path, { base: base ?? {}, mine, theirs }, merging);
  const rows = [base, mine, theirs].map(rowsOf);
  // One that is gone on one side is not merged with changes to it on the other.
  if (mine !== undefined && theirs !== undefined && rows.every((one) => one !== null)) {
    const [b, m, t] = rows as unknown as [Rows, Rows, Rows];
    return mergeRows(path, { base: b, mine: m, theirs: t }, merging);
  }
  return decide(path, three, merging);
}

function mergeFields(
  path: readonly string[],
  { base, mine, theirs }: { base: Fields; mine: Fields; theirs: Fields },
  merging: Merging,
): Fields {
  const added = [...Object.keys(mine), ...Object.keys(theirs)].filter((key) => !Object.hasOwn(base, key));
  const keys = [...Object.keys(base), ...[...new Set(added)].sort()];
  const of = (fields: Fields, key: string) => (Object.hasOwn(fields, key) ? fields[key] : undefined);
  return Object.fromEntries(
    keys
      .map((key) => {
        const three = { base: of(base, key), mine: of(mine, key), theirs: of(theirs, key) };
        return [key, mergeValue([...path, key], three, merging)] as const;
      })
      .filter(([, value]) => value !== undefined),
  );
}

type Rows = ReadonlyMap<string, unknown>;
interface ThreeRows {
  readonly base: Rows;
  readonly mine: Rows;
  readonly theirs: Rows;
}

function mergeRows(path: readonly string[], three: ThreeRows, merging: Merging): unknown[] {
  const { base, mine, theirs } = three;
  const values = new Map(
    [...new Set([...base.keys(), ...mine.keys(), ...theirs.keys()])].map((name) => {
      const row = { base: base.get(name), mine: mine.get(name), theirs: theirs.get(name) };
      return [name, mergeValue([...path, name], row, merging)] as const;
    }),
  );
  return orderOf(path, three, merging)
    .map((name) => values.get(name))
    .filter((row) => row !== undefined);
}

/** Rows that were there in the order that one has given them, new ones below what they follow. */
function orderOf(path: readonly string[], { base, mine, theirs }: ThreeRows, merging: Merging): string[] {
  const stays = [...base.keys()].filter((name) => mine.has(name) && theirs.has(name));
  const kept = new Set(stays);
  const within = (rows: Rows) => [...rows.keys()].filter((name) => kept.has(name));
  const orders = { base: stays, mine: within(mine), theirs: within(theirs) };
  const order = mergeOrder(path, orders, merging);
  const above = [mine, theirs].map((rows) => addedBelow(rows, kept));
  const at = (anchor: string | null) => {
    const groups = above.map((one) => one.get(anchor) ?? []);
    // By name, not by whose they are: so it does not matter who saves first.
    groups.sort((a, b) => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1));
    return groups.flat();
  };
  return [...new Set([...at(null), ...order.flatMap((name) => [name, ...at(name)])])];
}

function mergeOrder(
  path: readonly string[],
  orders: { base: string[]; mine: string[]; theirs: string[] },
  merging: Merging,
): string[] {
  const { base, mine, theirs } = orders;
  if (same(mine, theirs) || same(base, mine)) return theirs;
  if (same(base, theirs)) return mine;
  return decide([...path, 'order'], orders, merging) as string[];
}

/** Rows that are new, or gone on the other side, by the kept row that they stand below; null: above all of them. */
function addedBelow(rows: Rows, kept: ReadonlySet<string>): Map<string | null, string[]> {
  const below = new Map<string | null, string[]>();
  let anchor: string | null = null;
  for (const name of rows.keys()) {
    if (kept.has(name)) anchor = name;
    else below.set(anchor, [...(below.get(anchor) ?? []), name]);
  }
  return below;
}

/**
 * What two people have made of the same scenario, as one.
 * @param base what both began from; `undefined` where that is not known: then nothing counts as deleted, and all that differs is asked about
 */
export function merge({ base, mine, theirs }: Three, asking: Asking = { choices: new Map() }): Merged {
  const merging: Merging = { ...asking, conflicts: [] };
  const value = mergeValue([], { base, mine, theirs }, merging);
  return { value, conflicts: merging.conflicts };
}

/** What one text has that another had not, field by field: what comes in by a merge. */
export function changesBetween(before: unknown, after: unknown): Change[] {
  const changes: Change[] = [];
  const walk = (path: readonly string[], was: unknown, now: unknown): void => {
    if (same(was, now)) return;
    if (isFields(was) && isFields(now)) {
      for (const key of new Set([...Object.keys(was), ...Object.keys(now)]))
        walk([...path, key], was[key], now[key]);
      return;
    }
    const [a, b] = [rowsOf(was), rowsOf(now)];
    if (!Array.isArray(was) || !Array.isArray(now) || !a || !b) {
      changes.push({ path, before: was, after: now });
      return;
    }
    const count = changes.length;
    for (const name of new Set([...a.keys(), ...b.keys()])) walk([...path, name], a.get(name), b.get(name));
    if (changes.length === count)
      changes.push({ path: [...path, 'order'], before: [...a.keys()], after: [...b.keys()] });
  };
  walk([], before, after);
  return changes;
}
