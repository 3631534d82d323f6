/** Beyond so many sums of flows only the most promising are kept: flows are few and alike. */
const MOST_SUMS = 2000;

/** A machine as its water source sees it. */
interface Drawing {
  /** mL/min */
  readonly flow: number;
  /** Part of its time in which a machine that is never held up draws water, 0..1. */
  readonly duty: number;
}

/** The most promising half of sums of flows, when there are too many. */
const thinned = (sums: Map<number, number>): Map<number, number> =>
  sums.size <= MOST_SUMS
    ? sums
    : new Map(
        [...sums]
          .sort((a, b) => b[1] - a[1])
          .slice(0, MOST_SUMS >> 1)
          .concat([[0, 0]]),
      );

/** The best row of places, each for machines of one flow, within the capacity (a knapsack): flow used, mL/min. */
function bestRow(machines: readonly Drawing[], capacity: number): number {
  const classes = new Map<number, number[]>();
  for (const { flow, duty } of machines) classes.set(flow, [...(classes.get(flow) ?? []), duty]);
  /** Flow taken -> flow used, on average. */
  let best = new Map([[0, 0]]);
  for (const [flow, duties] of classes) {
    let busy = duties.reduce((sum, duty) => sum + duty, 0);
    // The first places are always in use, the last one for what is left.
    for (; busy > 0; busy -= 1) {
      const next = new Map(best);
      for (const [taken, used] of best) {
        const sum = taken + flow;
        const gain = used + flow * Math.min(1, busy);
        if (sum <= capacity + 1e-9 && gain > (next.get(sum) ?? -1)) next.set(sum, gain);
      }
      best = thinned(next);
    }
  }
  return Math.max(...best.values());
}

/** Places that any machine fits into, all of them always in use: as many as the thirstiest machines leave room for. */
function anyPlaces(machines: readonly Drawing[], capacity: number): number {
  const falling = machines.map(({ flow }) => flow).sort((a, b) => b - a);
  let places = 0;
  for (let sum = 0; places < falling.length; places++) {
    sum += falling[places]!;
    if (sum > capacity + 1e-9) break;
  }
  const total = machines.reduce((sum, { flow }) => sum + flow, 0);
  const running = machines.reduce((sum, { duty }) => sum + duty, 0);
  return (Math.min(places, running) * total) / machines.length;
}

/**
 * What machines of these flows draw from a source on average when it cannot feed all of them at once, mL/min. The flow
 * is a row of places, each for machines of one flow: while one of them is set up or swapped another takes its place, so
 * a place is always in use when more machines wait for it, and else as much as its own machine runs. The best row of
 * places within the capacity counts, or as many places as any machines fit into.
 */
export function usableFlow(machines: readonly Drawing[], capacity: number): number {
  const total = machines.reduce((sum, { flow }) => sum + flow, 0);
  if (total <= capacity) return machines.reduce((sum, { flow, duty }) => sum + flow * duty, 0);
  return Math.max(anyPlaces(machines, capacity), bestRow(machines, capacity));
}
