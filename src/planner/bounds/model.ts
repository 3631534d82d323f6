/** HiGHS reads any bound beyond this as none. */
const INFINITE = 1e30;
/** No limit of a row or a column. */
export const NONE = Number.POSITIVE_INFINITY;

/** Part of a row. */
export type Term = readonly [column: number, coefficient: number];

/** A linear model by numbers alone, no names. Minimised. */
export class LinearModel {
  readonly cost: number[] = [];
  readonly lower: number[] = [];
  readonly upper: number[] = [];
  readonly integer: number[] = [];
  readonly rowLower: number[] = [];
  readonly rowUpper: number[] = [];
  private readonly starts: number[] = [0];
  private readonly indices: number[] = [];
  private readonly values: number[] = [];

  /**
   * @param integer whole; as a number: the higher, the sooner a search for a bound branches on it
   * @returns the column's number
   */
  column(cost: number, lower: number, upper: number, integer: boolean | number = false): number {
    this.cost.push(cost);
    this.lower.push(lower);
    this.upper.push(upper);
    this.integer.push(Number(integer));
    return this.cost.length - 1;
  }

  /** A row lower <= sum of coefficient x column <= upper. Terms of one column add up; a row without terms is left out. */
  row(lower: number, upper: number, terms: Iterable<Term>): void {
    const sums = new Map<number, number>();
    for (const [column, coefficient] of terms) sums.set(column, (sums.get(column) ?? 0) + coefficient);
    if (sums.size === 0) return;
    for (const [column, coefficient] of sums) {
      if (coefficient === 0) continue;
      this.indices.push(column);
      this.values.push(coefficient);
    }
    this.starts.push(this.indices.length);
    this.rowLower.push(lower);
    this.rowUpper.push(upper);
  }

  /** Takes a multiple of a row's coefficients from a list of numbers by column. */
  subtract(row: number, multiple: number, from: Float64Array): void {
    for (let i = this.starts[row]!; i < this.starts[row + 1]!; i++)
      from[this.indices[i]!]! -= multiple * this.values[i]!;
  }

  /** The arrays HiGHS takes; `whole` false drops integrality. */
  data(whole: boolean) {
    const finite = (list: readonly number[]) =>
      Float64Array.from(list, (value) => Math.max(-INFINITE, Math.min(INFINITE, value)));
    const numCols = this.cost.length;
    const numRows = this.rowLower.length;
    return {
      numCols,
      numRows,
      colCost: Float64Array.from(this.cost),
      colLower: finite(this.lower),
      colUpper: finite(this.upper),
      rowLower: finite(this.rowLower),
      rowUpper: finite(this.rowUpper),
      matrix: {
        format: 'csr' as const,
        numRows,
        numCols,
        starts: Int32Array.from(this.starts),
        indices: Int32Array.from(this.indices),
        values: Float64Array.from(this.values),
      },
      ...(whole && this.integer.some((is) => is > 0)
        ? { integrality: Int32Array.from(this.integer, (is) => (is > 0 ? 1 : 0)) }
        : {}),
    };
  }
}
