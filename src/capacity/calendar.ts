import type { Machine, Problem, Rules, WaterSource } from '../scenario/problem.ts';

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

export interface Pace {
  readonly rules: Rules;
  readonly source: WaterSource;
  /** Min by which the first circuit comes late because technicians set up other machines first. */
  readonly wait: number;
  readonly open: Open;
  readonly deadlines: Deadlines;
}

/**
 * Fills that one machine has ready for each round if it never rests: circuits of full life, the shortest fill and its
 * swap one after the other, nothing outside its windows or without a technician, a water test when the last is too old.
 * @param into fills by round; the opening round gets none
 */
export function countFills(
  machine: Machine,
  windows: Machine['windows'],
  pace: Pace,
  into: Uint16Array,
): void {
  const { rules, source, deadlines } = pace;
  const { shortest } = machine;
  const { swapMinutes, circuitMinutes, circuitLife } = rules;
  const cycle = shortest + swapMinutes;
  into.fill(0);
  if (machine.longest < shortest || circuitMinutes + cycle > circuitLife) return;
  let circuitEnd = machine.loaded ? machine.loaded.since + circuitLife : Number.NEGATIVE_INFINITY;
  let tested = source.lastTest ?? Number.NEGATIVE_INFINITY;
  let round = 1;
  let window = 0;
  let at = 0;
  let waits = pace.wait;
  const { open } = pace;
  for (let n = 0; n < open.length; n += 2) {
    let start = open[n]!;
    const stop = open[n + 1]!;
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
        if (ready > circuitEnd) {
          const begin = at + waits;
          ready = begin + circuitMinutes + cycle;
          if (ready > end) break;
          waits = 0;
          circuitEnd = begin + circuitLife;
        }
        if (ready > end) break;
        at = ready;
        // While water runs on, somebody tests it in time beside the machines.
        if (source.testMinutes < source.testEvery) tested = Math.max(tested, at);
        while (round < deadlines.length && ready > deadlines[round]!) round += 1;
        if (round >= deadlines.length) return;
        into[round]! += 1;
      }
      if (to >= stop) break;
      window += 1;
      start = to;
    }
  }
}

/** The largest sum of some of these flows within a capacity, mL/min. */
export function largestFlow(flows: readonly number[], capacity: number): number {
  let sums = new Set([0]);
  for (const flow of flows) {
    const next = new Set(sums);
    for (const sum of sums) if (sum + flow <= capacity + 1e-9) next.add(sum + flow);
    // Flows are few and alike; should they not be, the largest sums are the ones that matter.
    sums =
      next.size > 2000
        ? new Set(
            [...next]
              .sort((a, b) => b - a)
              .slice(0, 1000)
              .concat(0),
          )
        : next;
  }
  return Math.max(...sums);
}

/**
 * What machines of these flows draw from a source that cannot feed all of them, mL/min: while one of them is swapped
 * the others must fit together, so the mean over which one that is.
 */
export function usableFlow(flows: readonly number[], capacity: number): number {
  const all = flows.reduce((sum, flow) => sum + flow, 0);
  if (all <= capacity) return all;
  const without = new Map<number, number>();
  let sum = 0;
  for (const flow of flows) {
    let rest = without.get(flow);
    if (rest === undefined) {
      const others = [...flows];
      others.splice(others.indexOf(flow), 1);
      rest = largestFlow(others, capacity);
      without.set(flow, rest);
    }
    sum += rest;
  }
  return sum / flows.length;
}
