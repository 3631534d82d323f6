import type { LinearModel } from './model.ts';
import { nextMultiple } from './multiples.ts';

/** Other limits of some columns than the model's own: column -> [lower, upper]. */
export type Limits = ReadonlyMap<number, readonly [lower: number, upper: number]>;

/** The relaxation of a model, without whole numbers, within limits. */
export interface Relaxed {
  /** No point within the limits costs less; infinity: there is none. Proven, see `provenBy`. */
  readonly bound: number;
  /** The best point; null when there is none or the solver failed. */
  readonly values: Float64Array | null;
  /** Simplex iterations it took. */
  readonly iterations: number;
}

interface Branched {
  readonly bound: number;
  /** A best point of the part of the search tree that sets the bound; whole when `closed`. */
  readonly values: Float64Array | null;
  readonly closed: boolean;
}

interface Node {
  readonly limits: Limits;
  readonly bound: number;
  readonly values: Float64Array | null;
}

/** Rises of the bound for each whole step down and up of a column, and how often they were seen. */
type Rise = [down: number, downs: number, up: number, ups: number];

const WHOLE = 1e-5;
/** What a relaxation takes besides its iterations, in iterations. */
const OWN = 10;

/**
 * Branch and bound for the bound alone: no solution is sought, the part of the tree with the lowest bound is next. It
 * branches first on the columns of the highest number in `LinearModel.integer`.
 * @param step cost of every whole point is a multiple of it
 * @param iterations simplex iterations allowed after those of the root, those that each relaxation's set-up is worth included
 * @param late asked between two relaxations
 */
export function branch(
  model: LinearModel,
  relax: (limits: Limits) => Relaxed,
  { step, iterations, late }: { step: number; iterations: number; late: () => boolean },
): Branched {
  const whole = model.integer.flatMap((is, column) => (is ? [column] : []));
  const rises = new Map<number, Rise>();
  const open: Node[] = [];
  let work = 0;
  const worth = ({ bound }: Node) => nextMultiple(bound, step);
  const fractional = (values: Float64Array) =>
    whole.filter((column) => Math.abs(values[column]! - Math.round(values[column]!)) > WHOLE);

  const root = relax(new Map());
  open.push({ limits: new Map(), ...root });
  for (;;) {
    let best = 0;
    // Among equals the deepest, which was added last: it is the first to be whole, and then nothing is left to prove.
    for (let i = 1; i < open.length; i++) if (worth(open[i]!) <= worth(open[best]!)) best = i;
    const node = open[best];
    // No part of the tree is left: so the model has no whole point.
    if (!node) return { bound: Number.POSITIVE_INFINITY, values: null, closed: false };
    const found = node.values ? fractional(node.values) : [];
    if (found.length === 0 || work >= iterations || late())
      return {
        bound: node.bound,
        values: node.values,
        closed: node.values !== null && found.length === 0,
      };
    open.splice(best, 1);
    const column = choose(model, rises, found, node.values!);
    const value = node.values![column]!;
    const [lower, upper] = node.limits.get(column) ?? [model.lower[column]!, model.upper[column]!];
    const rise = rises.get(column) ?? [0, 0, 0, 0];
    rises.set(column, rise);
    for (const up of [0, 1] as const) {
      const limits = new Map(node.limits);
      limits.set(column, up ? [Math.ceil(value), upper] : [lower, Math.floor(value)]);
      const part = relax(limits);
      work += part.iterations + OWN;
      if (part.bound === Number.POSITIVE_INFINITY) continue;
      const bound = Math.max(node.bound, part.bound);
      const distance = up ? Math.ceil(value) - value : value - Math.floor(value);
      rise[up * 2]! += (bound - node.bound) / distance;
      rise[up * 2 + 1]! += 1;
      open.push({ limits, bound, values: part.values });
    }
  }
}

/** The column whose both sides promise the most. */
function choose(
  model: LinearModel,
  rises: ReadonlyMap<number, Rise>,
  found: readonly number[],
  values: Float64Array,
): number {
  const first = Math.max(...found.map((column) => model.integer[column]!));
  const promise = (column: number): number => {
    const [down, downs, up, ups] = rises.get(column) ?? [0, 0, 0, 0];
    const part = values[column]! - Math.floor(values[column]!);
    const side = (sum: number, count: number, by: number) =>
      Math.max(1e-3, (count > 0 ? sum / count : 5) * by);
    return side(down, downs, part) * side(up, ups, 1 - part);
  };
  let best = -1;
  let most = -1;
  for (const column of found) {
    if (model.integer[column] !== first) continue;
    const own = promise(column);
    if (own > most) {
      most = own;
      best = column;
    }
  }
  return best;
}

/**
 * The bound that any multipliers of the rows prove: least value of cost - multipliers x rows over the columns' limits,
 * plus what the rows must be at least. It needs no trust in the solver that they come from; what its tolerances or a
 * broken-off run spoil only makes the bound weaker. Sums in floating point are off by far less than `nextMultiple` allows.
 * @param free true: the cost counts for nothing; a bound above 0 then proves that there is no point at all
 */
export function provenBy(
  model: LinearModel,
  multipliers: Float64Array,
  limits: Limits,
  free = false,
): number {
  const left = Float64Array.from(model.cost, (cost) => (free ? 0 : cost));
  let bound = 0;
  for (let row = 0; row < model.rowLower.length; row++) {
    const multiplier = multipliers[row]!;
    const side = multiplier > 0 ? model.rowLower[row]! : model.rowUpper[row]!;
    // A multiplier against the row's open side proves nothing and is left out.
    if (multiplier === 0 || !Number.isFinite(side)) continue;
    bound += multiplier * side;
    model.subtract(row, multiplier, left);
  }
  for (let column = 0; column < left.length; column++) {
    const reduced = left[column]!;
    if (reduced === 0) continue;
    const [lower, upper] = limits.get(column) ?? [model.lower[column]!, model.upper[column]!];
    bound += reduced * (reduced > 0 ? lower : upper);
  }
  return bound;
}
