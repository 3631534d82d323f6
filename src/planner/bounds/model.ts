/** HiGHS reads any bound beyond this as none. */
const INFINITE = 1e30;
/** No limit of a row or a column. */
export const NONE = Number.POSITIVE_INFINITY;

/** A row broken by less than this part of its limit is not worth its time. */
const BROKEN = 1e-3;

/** Part of a row. */
export type Term = readonly [column: number, coefficient: number];

/** A row that is true, and that the model takes on when a point breaks it. */
interface Offer {
  readonly lower: number;
  readonly terms: readonly Term[];
}

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
  private offers: Offer[] = [];

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

  /** A row lower <= sum of coefficient x column, each column once, that is taken on only where it is broken (`takeBroken`). */
  offer(lower: number, terms: readonly Term[]): void {
    this.offers.push({ lower, terms });
  }

  hasOffers(): boolean {
    return this.offers.length > 0;
  }

  /** Takes on the offered rows that a point breaks. @returns how many */
  takeBroken(point: Float64Array): number {
    const breaks = ({ lower, terms }: Offer) => {
      const sum = terms.reduce((all, [column, coefficient]) => all + coefficient * point[column]!, 0);
      return sum < lower - BROKEN * Math.max(1, lower);
    };
    const broken = this.offers.filter(breaks);
    this.offers = this.offers.filter((offer) => !broken.includes(offer));
    for (const { lower, terms } of broken) this.row(lower, NONE, terms);
    return broken.length;
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
