import type { Demand } from '../../demand/demand.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { cutsOf } from './cuts.ts';
import { circuitsDone, type Ends, endsOf } from './ends.ts';
import { circuitEndsBy, dutyMinutes } from './floor.ts';
import { type Kind, kindsOf } from './kinds.ts';
import { type Reach, reachOf, runnableMinutes } from './reach.ts';
import { type Sink, sinksOf, stocksOf, wantedEnds } from './sinks.ts';

/** Minutes from..to-1. */
interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** The horizon cut into buckets (cuts[t-1], cuts[t]], t from 1; cuts[0] is 0. Arrays by bucket have an entry 0 that is unused. */
export interface Buckets {
  readonly cuts: readonly number[];
  readonly kinds: readonly Kind[];
  readonly sinks: readonly Sink[];
  /** What is wanted in stock after each round. */
  readonly stocks: readonly Sink[];
  /** Reach of each machine, by its index; null: it can never fill. */
  readonly reach: readonly (Reach | null)[];
  /** Minutes of each bucket in which a source could be under a test with something to do for some machine, [source][t]. */
  readonly runnable: readonly (readonly number[])[];
  /** Stretches of minutes without a break of which `runnable` is the sum, by source. */
  readonly runs: readonly (readonly Stretch[])[];
  /** Longest time without a break that a source could be under tests, min, by source. */
  readonly longestRun: readonly number[];
  /** Last minute of each bucket at which a test of a source could end; minus infinity: none could. [source][t] */
  readonly lastTest: readonly (readonly number[])[];
  /** Technician minutes, [t]. */
  readonly staff: readonly number[];
  readonly ends: Ends;
}

function lastTests(cuts: readonly number[], staff: Problem['staff'], testMinutes: number): number[] {
  const last = cuts.map(() => Number.NEGATIVE_INFINITY);
  let staffedFor = 0;
  let t = 1;
  for (let end = 1; end <= cuts.at(-1)!; end++) {
    if (end > cuts[t]!) t += 1;
    staffedFor = staff[end - 1]! > 0 ? staffedFor + 1 : 0;
    if (staffedFor >= testMinutes) last[t] = end;
  }
  return last;
}

function runsIn(minutes: Uint8Array): Stretch[] {
  const runs: Stretch[] = [];
  for (let t = 0; t < minutes.length; t++) {
    if (minutes[t] === 0) continue;
    const from = t;
    while (minutes[t + 1] === 1) t += 1;
    runs.push({ from, to: t + 1 });
  }
  return runs;
}

/**
 * Cuts the horizon where bags fall due, where staff changes while it is short, and where bags would expire.
 * @param problem without what duties surely take (`lessDuties`)
 */
export function bucketsOf(problem: Problem, demand: Demand): Buckets {
  const { machines, water, staff } = problem;
  const runnableAt = water.map((_, source) => runnableMinutes(problem, source));
  const sinks = sinksOf(problem, demand);
  const stocks = stocksOf(problem);
  const wanted = [...sinks, ...stocks];
  const known = new Map<string, Reach>();
  const reach = machines.map((machine, m) => {
    const { windows, shortest, longest, flow, water: source, baths } = machine;
    const ended = [...new Set(circuitEndsBy(problem, m))];
    if (shortest > longest) return null;
    const sorted = [...baths].sort((a, b) => a - b);
    const key = JSON.stringify([windows, shortest, longest, flow, source, sorted, ended]);
    const found =
      known.get(key) ?? reachOf(problem, machine, runnableAt[source]!, wantedEnds(problem, wanted, baths));
    known.set(key, found);
    return found;
  });
  const kinds = kindsOf(problem, reach);
  const cuts = cutsOf(problem, wanted, kinds);
  const usedAt = runnableAt.map((minutes, source) => {
    const all = machines.flatMap((machine, m) => (machine.water === source ? (reach[m] ?? []) : []));
    const own = [...new Set(all)];
    const used = (t: number) => own.some(({ usable }) => usable[t + 1]! > usable[t]!);
    return minutes.map((runs, t) => Number(runs === 1 && used(t)));
  });
  const sumIn = (values: ArrayLike<number>) =>
    cuts.map((to, t) => {
      let sum = 0;
      for (let minute = cuts[t - 1] ?? 0; minute < to; minute++) sum += values[minute]!;
      return sum;
    });
  return {
    cuts,
    kinds,
    sinks,
    stocks,
    reach,
    runnable: usedAt.map(sumIn),
    runs: usedAt.map(runsIn),
    longestRun: runnableAt.map((minutes) => Math.max(0, ...runsIn(minutes).map(({ from, to }) => to - from))),
    lastTest: water.map(({ testMinutes }) => {
      const tested = staff.map((there) => Number(there >= problem.rules.hands.test));
      return lastTests(cuts, tested, testMinutes);
    }),
    staff: sumIn(staff).map((sum, t) =>
      t === 0 ? sum : Math.max(0, sum - dutyMinutes(problem, { from: cuts[t - 1]!, to: cuts[t]! })),
    ),
    ends: endsOf(problem, reach, circuitsDone(problem, runnableAt)),
  };
}

/** What machines of a kind could do at best: those with the same windows share it. */
export const reachesOf = ({ reach }: Buckets, { machines }: Kind): Reach[] => [
  ...new Set(machines.map((m) => reach[m]!)),
];

/** Whether some fill that ends in a bucket could serve a sink: it may be that nobody is on shift when it would have to end. */
export function canServe(buckets: Buckets, t: number, { bath, lastEnd, endAfter }: Sink): boolean {
  const to = buckets.cuts[t]!;
  const from = Math.max(buckets.cuts[t - 1]!, endAfter) + 1;
  if (to > lastEnd || from > to) return false;
  const able = buckets.kinds.filter(({ baths }) => baths.includes(bath));
  return able.some((kind) => reachesOf(buckets, kind).some(({ someEnd }) => someEnd[from]! <= to));
}
