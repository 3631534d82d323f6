import type { Scenario } from './schema.ts';

/** Lists inside the rows of a list, by the sheet that shows them, and under which their rows wait in `unassigned`. */
export const NESTED = {
  changes: { list: 'patients', nested: 'changes', ownerKey: 'id' },
  hours: { list: 'machines', nested: 'available', ownerKey: 'id' },
  capacityChanges: { list: 'water', nested: 'capacityChanges', ownerKey: 'id' },
  supplyDeliveries: { list: 'supplies', nested: 'deliveries', ownerKey: 'item' },
} as const;
export type NestedId = keyof typeof NESTED;

type Values = Record<string, unknown>;
export interface Home {
  readonly list: string;
  readonly nested: string;
  readonly ownerKey: string;
}
/** A row that its owner has now. */
interface Adopted {
  readonly owner: string;
  /** From the scenario down to the row, e.g. ['patients', 3, 'changes', 0]. */
  readonly path: readonly (string | number)[];
}

const rowsOf = (value: unknown): Values[] => (Array.isArray(value) ? value : []);

/** The list inside the owner of this name; made when it has none. Null when nobody has the name, or something else stands there. */
export function listOf(draft: Scenario, { list, nested, ownerKey }: Home, owner: string): Values[] | null {
  const found =
    owner === ''
      ? undefined
      : rowsOf((draft as Values)[list]).find((row) => String(row?.[ownerKey] ?? '') === owner);
  if (!found) return null;
  found[nested] ??= [];
  return Array.isArray(found[nested]) ? found[nested] : null;
}

/**
 * Rows that waited for an owner who is listed by now go to the end of its list.
 * @param draft is changed; it may have faults of shape
 */
export function adopt(draft: Scenario): Adopted[] {
  const adopted: Adopted[] = [];
  const unassigned = draft.unassigned as Values | null | undefined;
  for (const [id, home] of Object.entries(NESTED)) {
    const waiting = rowsOf(unassigned?.[id]);
    const before = adopted.length;
    for (const row of waiting.slice()) {
      const owner = String(row?.owner ?? '');
      const to = listOf(draft, home, owner);
      if (!to) continue;
      waiting.splice(waiting.indexOf(row), 1);
      delete row.owner;
      to.push(row);
      const at = rowsOf((draft as Values)[home.list]).findIndex((one) => one?.[home.nested] === to);
      adopted.push({ owner, path: [home.list, at, home.nested, to.length - 1] });
    }
    if (adopted.length > before && waiting.length === 0) delete unassigned?.[id];
  }
  if (adopted.length > 0 && unassigned && Object.keys(unassigned).length === 0) delete draft.unassigned;
  return adopted;
}
