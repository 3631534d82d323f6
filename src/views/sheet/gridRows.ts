import type { GridApi, IRowNode } from 'ag-grid-community';
import type { Trail } from '../../grid/edits.ts';
import { idsAfter, type KnownRow, keptOrder } from '../../grid/rowIds.ts';
import type { Row } from '../../grid/sheet.ts';

type Api = GridApi<Row>;
const filterOf = (api: Api): string => JSON.stringify(api.getFilterModel());
const sortOf = (api: Api): string =>
  api
    .getAllDisplayedColumns()
    .flatMap((column) =>
      column.getSort() ? [`${column.getColId()} ${column.getSort()} ${column.getSortIndex()}`] : [],
    )
    .join();

/** How the rows stood before the grid took in others. */
interface Seen {
  readonly sort: string;
  readonly filter: string;
  readonly shown: readonly string[];
  readonly hidden: ReadonlySet<string>;
}

/**
 * Rows as spreadsheets keep them: sorted and filtered when a person asks for it, and then each stays where it is, also
 * one that no longer belongs there, until that person sorts or filters again or leaves the sheet.
 */
export class HeldRows {
  private source: readonly Row[] | null = null;
  private known: readonly KnownRow[] = [];
  private byKey = new Map<string, string>();
  private readonly byRow = new WeakMap<Row, string>();
  private count = 0;
  private trail: Trail | undefined;
  private newLast = false;
  private seen: Seen | null = null;

  /** Rows for the grid, in the order they had. @param anew another scenario: nothing is kept */
  take(source: readonly Row[], anew: boolean): readonly Row[] {
    if (source !== this.source) {
      if (anew) this.seen = null;
      const before = anew ? [] : this.known;
      const fresh = () => `r${++this.count}`;
      // The lines of a form are fixed.
      const ids = source[0]?.field
        ? source.map(({ key }) => key)
        : idsAfter(before, source, fresh, this.trail);
      const rows = new Map(ids.map((id, index) => [id, source[index]!]));
      const order = keptOrder(
        before.map(({ id }) => id),
        ids,
        this.newLast,
      );
      this.known = order.map((id) => ({ id, row: rows.get(id)! }));
      this.byKey = new Map(this.known.map(({ id, row }) => [row.key, id]));
      for (const { id, row } of this.known) this.byRow.set(row, id);
      this.source = source;
      this.trail = undefined;
    }
    return this.known.map(({ row }) => row);
  }
  /** What the rows that come next cannot say: where the act before them has put some, and that new ones go to the end. */
  tell(trail: Trail, newLast = false): void {
    this.trail = trail;
    this.newLast = newLast;
  }
  /** The act that was told of is not done after all. */
  forget(): void {
    this.trail = undefined;
  }
  idOf(row: Row): string {
    return this.byRow.get(row) ?? row.key;
  }
  /** Of the row that has this key now. */
  idAt(key: string): string {
    return this.byKey.get(key) ?? '';
  }
  /** Before the grid takes anything in. */
  look(api: Api): void {
    const shown: string[] = [];
    const hidden = new Set<string>();
    api.forEachNode(({ id, displayed }) => {
      if (!displayed) hidden.add(id!);
    });
    for (let index = 0; index < api.getDisplayedRowCount(); index++)
      shown.push(api.getDisplayedRowAtIndex(index)!.id!);
    this.seen = { sort: sortOf(api), filter: filterOf(api), shown, hidden };
  }
  /** The grid's filter spares the rows that it let through when it was set, and new ones. */
  passes(node: IRowNode<Row>, api: Api): boolean {
    return this.seen !== null && this.seen.filter === filterOf(api) && !this.seen.hidden.has(node.id!);
  }
  /** The grid has sorted; unless a person asked for it, the rows go back to where they were. Without a sort they are there. */
  arrange(nodes: IRowNode<Row>[], api: Api): void {
    const { seen } = this;
    if (seen?.filter !== filterOf(api) || seen.sort !== sortOf(api)) this.seen = null;
    else if (seen.sort !== '') {
      const byId = new Map(nodes.map((node) => [node.id!, node]));
      const ids = this.known.flatMap(({ id }) => (byId.has(id) ? [id] : []));
      for (const [index, id] of keptOrder(seen.shown, ids, this.newLast).entries())
        nodes[index] = byId.get(id)!;
    }
  }
}
