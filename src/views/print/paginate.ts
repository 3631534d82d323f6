/** A piece of a document that stays whole on a page. Heights in any one unit. */
export interface Unit {
  readonly height: number;
  /** Rows of one table bear its name; its head is repeated on each page. */
  readonly table?: string | undefined;
  /** Height of that head. */
  readonly head?: number | undefined;
  /** A heading: never the last thing on a page. */
  readonly keepNext?: boolean | undefined;
  /** Begins a page. */
  readonly newPage?: boolean | undefined;
}

const cost = (unit: Unit, within: string | undefined): number =>
  unit.height + (unit.table !== undefined && unit.table !== within ? (unit.head ?? 0) : 0);

/**
 * Puts units on pages in their order. A unit higher than a page gets one of its own (and is cut by it: rows are kept
 * far smaller than a page).
 * @param room height of a page's content
 * @returns indexes of units, page by page; one empty page when there are none
 */
export function paginate(units: readonly Unit[], room: number): number[][] {
  const pages: number[][] = [];
  let page: number[] = [];
  let used = 0;
  let table: string | undefined;
  const turn = () => {
    if (page.length) pages.push(page);
    page = [];
    used = 0;
    table = undefined;
  };
  units.forEach((unit, index) => {
    if (unit.newPage) turn();
    let wanted = cost(unit, table);
    // A run of headings goes with the first thing that they head.
    let last: Unit = unit;
    for (let next = index + 1; last.keepNext && next < units.length && !units[next]!.newPage; next++) {
      wanted += cost(units[next]!, last.table);
      last = units[next]!;
    }
    if (used > 0 && used + wanted > room) turn();
    used += cost(unit, table);
    table = unit.table;
    page.push(index);
  });
  turn();
  return pages.length ? pages : [[]];
}

/** How often the last unit fits once more on the last page. */
export function spareOf(units: readonly Unit[], pages: readonly (readonly number[])[], room: number): number {
  const last = units.at(-1);
  if (!last || last.height <= 0) return 0;
  let used = 0;
  let table: string | undefined;
  for (const index of pages.at(-1) ?? []) {
    used += cost(units[index]!, table);
    table = units[index]!.table;
  }
  return Math.max(0, Math.floor((room - used) / last.height));
}
