import type { Kind } from './kinds.ts';

/** More ways than this are not worth their columns; more looked at than that take too long to find. */
const MOST_SETS = 30;
const MOST_LOOKED_AT = 5000;

/**
 * The ways in which machines of a source can run at one time, as numbers of machines by kind, to which the capacity
 * allows no further machine: every set of machines that can run at once is part of one of them.
 * @param capacity mL/min
 * @returns null when there are too many of them
 */
export function fullSets(
  kinds: readonly Pick<Kind, 'flow' | 'machines'>[],
  capacity: number,
): (readonly number[])[] | null {
  const sets: number[][] = [];
  let looks = 0;
  const add = (set: readonly number[], left: number): boolean => {
    const kind = kinds[set.length];
    if (!kind) {
      if (kinds.every(({ flow, machines }, i) => set[i] === machines.length || flow > left))
        sets.push([...set]);
      return sets.length <= MOST_SETS;
    }
    const most = Math.min(kind.machines.length, Math.floor(left / kind.flow));
    looks += 1;
    if (looks > MOST_LOOKED_AT) return false;
    for (let n = set.length === kinds.length - 1 ? most : 0; n <= most; n++)
      if (!add([...set, n], left - n * kind.flow)) return false;
    return true;
  };
  return add([], capacity + 1e-9) ? sets : null;
}

/** How many machines of a source can run at one time. */
export function mostAtOnce(kinds: readonly Kind[], capacity: number): number {
  let left = capacity + 1e-9;
  return kinds
    .flatMap(({ flow, machines }) => machines.map(() => flow))
    .sort((a, b) => a - b)
    .filter((flow) => {
      left -= flow;
      return left >= 0;
    }).length;
}

/** The most that machines of a source can draw together, mL/min: not always its whole capacity. */
export function mostFlow(own: readonly Kind[], capacity: number): number {
  let sums = new Set([0]);
  for (const { flow, machines } of own)
    for (let n = 0; n < machines.length && sums.size < 5000; n++)
      sums = new Set([...sums].flatMap((sum) => (sum + flow <= capacity + 1e-9 ? [sum, sum + flow] : [sum])));
  const all = own.reduce((sum, { flow, machines }) => sum + flow * machines.length, 0);
  return sums.size < 5000 ? Math.max(...sums) : Math.min(capacity, all);
}
