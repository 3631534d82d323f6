import type { Machine, Problem, Rules, WaterSource } from '../../scenario/problem/types.ts';

/** Stretches of minutes with somebody on shift, [from, to, from, to ...], in order. */
export type Open = readonly number[];

/** Minutes of release deadlines, one a round, rising: a fill whose swap has ended by then can serve the round. */
export type Deadlines = readonly number[];

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

/** What a machine gets done for each round. */
export interface Work {
  readonly fills: Uint16Array;
  readonly circuits: Uint16Array;
  /** New circuits that were used to the end of their life, and the fills made on them. */
  wornCircuits: number;
  wornFills: number;
}

export const emptyWork = (rounds: number): Work => ({
  fills: new Uint16Array(rounds),
  circuits: new Uint16Array(rounds),
  wornCircuits: 0,
  wornFills: 0,
});

export interface Pace {
  readonly rules: Rules;
  readonly source: WaterSource;
  /** Min by which the first circuit comes late because technicians set up other machines first. */
  readonly wait: number;
  /** The same when technicians come back after hours without any. */
  readonly later: number;
  readonly open: Open;
  readonly deadlines: Deadlines;
}

/**
 * Fills that one machine has ready for each round if it never rests: circuits of full life, the shortest fill and its
 * swap one after the other, nothing outside its windows or without a technician, a water test when the last is too old.
 * @param into fills and new circuits by round; the opening round gets none
 */
export function countFills(machine: Machine, windows: Machine['windows'], pace: Pace, into: Work): void {
  const { rules, source, deadlines } = pace;
  const { shortest } = machine;
  const { swapMinutes, circuitMinutes, circuitLife } = rules;
  const cycle = shortest + swapMinutes;
  into.fills.fill(0);
  into.circuits.fill(0);
  into.wornCircuits = 0;
  into.wornFills = 0;
  if (machine.longest < shortest || circuitMinutes + cycle > circuitLife) return;
  let circuitEnd = machine.loaded ? machine.loaded.since + circuitLife : Number.NEGATIVE_INFINITY;
  let tested = source.lastTest ?? Number.NEGATIVE_INFINITY;
  let round = 1;
  let window = 0;
  let at = 0;
  let waits = pace.wait;
  /** Fills on the present circuit; -1: it is the one in place at the start. */
  let onCircuit = -1;
  const { open } = pace;
  for (let n = 0; n < open.length; n += 2) {
    let start = open[n]!;
    const stop = open[n + 1]!;
    if (n > 0) waits = pace.later;
    while (window < windows.length && windows[window]!.to <= start) window += 1;
    while (window < windows.length && start < stop) {
      const { from, to } = windows[window]!;
      if (from >= stop) break;
      at = Math.max(at, start, from);
      const end = Math.min(stop, to);
      for (;;) {
        if (at > tested + source.testEvery) {
          at += source.testMinutes;
          tested = at;
        }
        let ready = at + cycle;
        const fresh = ready > circuitEnd;
        if (fresh) {
          const begin = at + waits;
          ready = begin + circuitMinutes + cycle;
          if (ready > end) break;
          if (onCircuit > 0) {
            into.wornCircuits += 1;
            into.wornFills += onCircuit;
          }
          onCircuit = 0;
          waits = 0;
          circuitEnd = begin + circuitLife;
        }
        if (ready > end) break;
        at = ready;
        // While water runs on, somebody tests it in time beside the machines.
        if (source.testMinutes < source.testEvery) tested = Math.max(tested, at);
        while (round < deadlines.length && ready > deadlines[round]!) round += 1;
        if (round >= deadlines.length) return;
        if (onCircuit >= 0) onCircuit += 1;
        into.fills[round]! += 1;
        if (fresh) into.circuits[round]! += 1;
      }
      if (to >= stop) break;
      window += 1;
      start = to;
    }
  }
}

/** Beyond so many sums of flows only the most promising are kept: flows are few and alike. */
const MOST_SUMS = 2000;

/**
 * What machines of these flows draw from a source on average when it cannot feed all of them at once, mL/min. The flow
 * is a row of places, each for machines of one flow: while one of them is set up or swapped another takes its place, so
 * a place is always in use when more machines wait for it, and else as much as its own machine runs. The best row of
 * places within the capacity counts (a knapsack), or as many places as any machines fit into.
 * @param duty part of its time in which a machine that is never held up draws water, 0..1
 */
export function usableFlow(
  machines: readonly { readonly flow: number; readonly duty: number }[],
  capacity: number,
): number {
  const total = machines.reduce((sum, { flow }) => sum + flow, 0);
  if (total <= capacity) return machines.reduce((sum, { flow, duty }) => sum + flow * duty, 0);
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
      best =
        next.size > MOST_SUMS
          ? new Map(
              [...next]
                .sort((a, b) => b[1] - a[1])
                .slice(0, MOST_SUMS >> 1)
                .concat([[0, 0]]),
            )
          : next;
    }
  }
  // Or places that any machine fits into, all of them always in use: as many as the thirstiest machines leave room for.
  const falling = machines.map(({ flow }) => flow).sort((a, b) => b - a);
  let places = 0;
  for (let sum = 0; places < falling.length; places++) {
    sum += falling[places]!;
    if (sum > capacity + 1e-9) break;
  }
  const running = machines.reduce((sum, { duty }) => sum + duty, 0);
  const mixed = (Math.min(places, running) * total) / machines.length;
  return Math.max(mixed, ...best.values());
}
