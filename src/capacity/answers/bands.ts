/** How a number varies over the runs. */
export interface Band {
  readonly mean: number;
  readonly p5: number;
  readonly p25: number;
  readonly p50: number;
  readonly p75: number;
  readonly p95: number;
}

/**
 * The quantile of sorted values, between neighbours by straight line (type 7 of Hyndman and Fan 1996, Am Stat
 * 50:361-365; from memory).
 */
export function quantile(sorted: ArrayLike<number>, p: number): number {
  const at = p * (sorted.length - 1);
  const low = Math.floor(at);
  const below = sorted[low]!;
  return low + 1 < sorted.length ? below + (at - low) * (sorted[low + 1]! - below) : below;
}

/** @param values one a run, at least one; sorted in place */
export function bandOf(values: Float64Array): Band {
  values.sort();
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const at = (p: number) => quantile(values, p);
  return { mean, p5: at(0.05), p25: at(0.25), p50: at(0.5), p75: at(0.75), p95: at(0.95) };
}

/** Half the width of the 95 % interval of a chance seen in n runs (Wilson 1927, JASA 22:209-212, as R's PropCIs cites it). */
export function chanceError(chance: number, draws: number): number {
  const z = 1.959964;
  const spread = Math.sqrt((chance * (1 - chance)) / draws + (z * z) / (4 * draws * draws));
  return (z * spread) / (1 + (z * z) / draws);
}

/** Standard error of a mean over runs: sd / sqrt(n). */
export function meanError(values: ArrayLike<number>): number {
  const n = values.length;
  let sum = 0;
  let squares = 0;
  for (let i = 0; i < n; i++) {
    sum += values[i]!;
    squares += values[i]! ** 2;
  }
  return n < 2 ? 0 : Math.sqrt(Math.max(0, (squares - (sum * sum) / n) / (n - 1)) / n);
}
