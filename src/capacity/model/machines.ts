import type { Machine, Problem } from '../../scenario/problem/types.ts';

/** What the machines do if nothing but their own hours holds them up. */
export interface Making {
  /** The list's machines, perhaps with copies of the last behind them. */
  readonly machines: readonly Machine[];
  /** Fills in the life of one circuit while somebody is there, by machine. */
  readonly perCircuit: readonly number[];
  /** Fills for each round, by machine. */
  readonly fills: readonly Uint16Array[];
}

/** The first `count` machines of the list; beyond its end, copies of the last one without a circuit in place. */
export function machinesFor(problem: Problem, count: number): Machine[] {
  const last = problem.machines.at(-1);
  return Array.from({ length: last ? count : 0 }, (_, index) => {
    const own = problem.machines[index];
    return own ?? { ...last!, id: `${last!.id} copy ${index + 1 - problem.machines.length}`, loaded: null };
  });
}

/** A machine's windows less the minutes in which it is broken ([from, to, ...], in order). */
export function cutWindows(
  windows: Machine['windows'],
  down: readonly number[],
): { readonly from: number; readonly to: number }[] {
  const left: { from: number; to: number }[] = [];
  for (const window of windows) {
    let { from } = window;
    for (let n = 0; n < down.length && from < window.to; n += 2) {
      const start = down[n]!;
      const end = down[n + 1]!;
      if (end <= from || start >= window.to) continue;
      if (start > from) left.push({ from, to: start });
      from = end;
    }
    if (from < window.to) left.push({ from, to: window.to });
  }
  return left;
}

/** Machines by the baths that they can run. */
export function kindsOf(machines: readonly Machine[]): { kinds: number[][]; kindOf: number[] } {
  const kinds: number[][] = [];
  const kindOf = machines.map(({ baths }) => {
    const key = [...baths].sort((a, b) => a - b);
    const at = kinds.findIndex((kind) => kind.join() === key.join());
    return at >= 0 ? at : kinds.push(key) - 1;
  });
  return { kinds, kindOf };
}
