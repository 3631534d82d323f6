import type { Cover } from '../../plan/cover.ts';
import { MINUTES_A_DAY, type Problem } from '../../scenario/problem/types.ts';

/** A need that wants bags. */
export interface Wanted {
  readonly bath: number;
  /** -1: the reserve. */
  readonly round: number;
  /** Ready to leave by `at`, good until `to`. */
  readonly at: number;
  readonly to: number;
}

/**
 * The first need of all that is not met, after skipping so many.
 * @param unmet parts, [bath][round]
 */
export function firstUnmet({ rounds, baths }: Problem, unmet: Cover['unmet'], skip: number): Wanted | null {
  let left = skip;
  for (const { index, at, to } of rounds)
    for (const bath of baths.keys())
      if (unmet[bath]![index]! > 0 && left-- === 0) return { bath, round: index, at, to };
  return null;
}

/** The same, the reserve last. */
export function firstWanted(problem: Problem, { unmet, reserveShort }: Cover, skip: number): Wanted | null {
  const { horizon, baths } = problem;
  const found = firstUnmet(problem, unmet, skip);
  if (found) return found;
  let left = skip - unmet.flat().filter((parts) => parts > 0).length;
  for (const bath of baths.keys())
    if (reserveShort[bath]! > 0 && left-- === 0)
      return { bath, round: -1, at: horizon, to: horizon + MINUTES_A_DAY };
  return null;
}
