import type { Machine, Problem } from '../../scenario/problem/types.ts';

/** The machine that is copied where more are asked about than the list has: its last one. */
export interface Copied {
  readonly id: string;
  /** Share of the forecast's time in which it is there. */
  readonly available: number;
  /** Baths that it may not run. */
  readonly cannot: readonly string[];
}

const availableShare = ({ windows }: Machine, horizon: number): number =>
  windows.reduce((sum, { from, to }) => sum + to - from, 0) / horizon;

/** What a machine beyond the list is; null: no machine is listed. */
export function copiedOf({ machines, baths, horizon }: Problem): Copied | null {
  const last = machines.at(-1);
  return last
    ? {
        id: last.id,
        available: availableShare(last, horizon),
        cannot: baths.filter((_, bath) => !last.baths.includes(bath)),
      }
    : null;
}

/**
 * A machine of the list that would be of more use as a copy than the last one, which is away at times or not for every
 * bath: always there, for every bath, and the one that makes most bags a minute of those. Its index; null: none.
 */
export function fullestOf(problem: Problem): number | null {
  const { machines, baths, horizon, rules } = problem;
  const isFull = (machine: Machine) =>
    machine.baths.length === baths.length && availableShare(machine, horizon) === 1;
  const last = machines.at(-1);
  if (!last || isFull(last)) return null;
  const pace = ({ usable, shortest }: Machine) => usable / (shortest + rules.swapMinutes);
  const full = machines.flatMap((machine, index) => (isFull(machine) ? index : []));
  return full.sort((a, b) => pace(machines[b]!) - pace(machines[a]!) || a - b)[0] ?? null;
}
