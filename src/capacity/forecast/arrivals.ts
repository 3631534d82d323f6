import type { Forecast } from '../../scenario/schema.ts';

/** Mean new patients in one day of the forecast, day 0 first. */
export type MeanOfDay = (day: number) => number;

/** Integral of first x 2^(t / days) over [from, to]; halving when days is below 0. */
function integral(first: number, days: number, from: number, to: number): number {
  if (to <= from) return 0;
  const growth = Math.LN2 / days;
  return (first * (Math.exp(growth * to) - Math.exp(growth * from))) / growth;
}

/**
 * Means per day: constant, one a day (the last one goes on), or growth by doubling up to a peak and halving after it.
 * The mean of a day is the integral of the rate over it, so a peak inside a day counts exactly.
 */
export function meanOfDay(starts: NonNullable<Forecast['startsPerDay']>): MeanOfDay {
  if (typeof starts === 'number') return () => starts;
  if (Array.isArray(starts)) return (day) => starts[Math.min(day, starts.length - 1)] ?? 0;
  const { doublingDays } = starts;
  const first = starts.first ?? 0;
  // Faults refuse a growth that lacks a part; until it is mended nothing grows.
  if (doublingDays == null) return () => first;
  const peak = starts.peakDay ?? Number.POSITIVE_INFINITY;
  return (day) => {
    const turn = Math.min(Math.max(peak, day), day + 1);
    const up = integral(first, doublingDays, day, turn);
    if (turn === day + 1) return up;
    const top = first * 2 ** (peak / doublingDays);
    const down = starts.halvingDays
      ? integral(top, -starts.halvingDays, turn - peak, day + 1 - peak)
      : top * (day + 1 - turn);
    return up + down;
  };
}
