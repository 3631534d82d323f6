import type { Problem } from '../../scenario/problem/types.ts';
import type { Deadlines } from './floor.ts';

/** The oldest fills that may serve each round: some of those made for round `from`, by their part `part`; [round]. */
export interface Shelf {
  readonly from: Int32Array;
  readonly part: Float64Array;
}

/**
 * Bags keep for the shelf life: what was made too long before a round's cover ends serves none of it. They keep from the end
 * of their fill, so a machine loses no time before the earliest good minute but what is longer than a fill that ends then.
 */
export function shelfOf({ rounds, rules, machines }: Problem, deadlines: Deadlines): Shelf {
  const fill = Math.min(...machines.map(({ shortest }) => shortest));
  const from = new Int32Array(rounds.length);
  const part = new Float64Array(rounds.length);
  for (let r = 1; r < rounds.length; r++) {
    const latest = rounds[r]!.to - rules.shelf + rules.swapMinutes;
    let j = 1;
    while (j <= r && deadlines[j]! < latest) j += 1;
    from[r] = j;
    if (j > r) continue;
    const begin = Math.max(0, deadlines[j - 1]!);
    const lost = latest - begin - fill;
    part[r] = lost <= 0 ? 1 : 1 - lost / (deadlines[j]! - begin);
  }
  return { from, part };
}
