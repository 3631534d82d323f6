import type { Problem } from '../../scenario/problem/types.ts';
import type { Reach } from './reach.ts';

/** Machines that differ at most in their windows and in what is loaded: they are counted, not named. */
export interface Kind {
  readonly machines: readonly number[];
  readonly flow: number;
  readonly positions: number;
  readonly baths: readonly number[];
  readonly water: number;
  readonly shortest: number;
  /** Bags of a fill that count. */
  readonly usable: number;
  /** Shortest fill and swap, min. */
  readonly cycle: number;
}

/** More of them than this make the model slow for little. */
const MOST_KINDS = 6;

/** @param apart machines with different windows are of different kinds: the model then knows which of them runs */
function grouped({ machines, rules }: Problem, reach: readonly (Reach | null)[], apart: boolean): Kind[] {
  const groups = new Map<string, Kind & { machines: number[] }>();
  machines.forEach(({ flow, positions, usable, baths, water, shortest, windows }, index) => {
    if (!reach[index]) return;
    const sorted = [...baths].sort((a, b) => a - b);
    const key = JSON.stringify([flow, positions, shortest, sorted, water, apart && windows]);
    const kind = groups.get(key);
    if (kind) kind.machines.push(index);
    else {
      const cycle = shortest + rules.swapMinutes;
      groups.set(key, { machines: [index], flow, positions, usable, baths, water, shortest, cycle });
    }
  });
  return [...groups.values()];
}

/** The machines that can fill, by kind; those with different windows apart unless that makes too many kinds. */
export function kindsOf(problem: Problem, reach: readonly (Reach | null)[]): Kind[] {
  const apart = grouped(problem, reach, true);
  return apart.length <= MOST_KINDS ? apart : grouped(problem, reach, false);
}
