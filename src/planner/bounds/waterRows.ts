import type { Problem } from '../../scenario/problem/types.ts';
import type { Buckets, Kind } from './buckets.ts';
import { type LinearModel, NONE, type Term } from './highs.ts';
import { underWay } from './reach.ts';

/** What the counted model has so far. */
interface Parts {
  readonly model: LinearModel;
  /** Columns of the minutes of each bucket under a test, [source][t]. */
  readonly covered: readonly (readonly number[])[];
  /** Terms of all fills, circuits and changes of a kind in a bucket, each with its coefficient. */
  readonly work: (k: number, t: number, fill: number, circuit: number, change: number) => Term[];
  /** What crosses the cuts before and after a bucket. */
  readonly carried: (carry: readonly number[], t: number) => Term[];
}

/** A kind of a source, with its number among all kinds. */
interface Own {
  readonly kind: Kind;
  readonly k: number;
}

/** Flows of a source add up to no more than its capacity, and run only under a test. */
export function waterRows(problem: Problem, buckets: Buckets, parts: Parts): void {
  problem.water.forEach(({ capacity }, source) => {
    const own = buckets.kinds.map((kind, k) => ({ kind, k })).filter(({ kind }) => kind.water === source);
    if (own.length === 0) return;
    const kinds = own.map(({ kind }) => kind);
    const most = mostAtOnce(kinds, capacity);
    const limited = most < kinds.reduce((sum, { machines }) => sum + machines.length, 0);
    const sets = limited ? fullSets(kinds, capacity) : null;
    if (sets) setRows(problem, buckets, parts, source, own, sets);
    else flowRows(problem, buckets, parts, source, own, mostFlow(kinds, capacity));
    if (!limited) return;
    wholeRunRows(buckets, parts, source, own, most);
    if (most === 1) turnRows(problem, buckets, parts, source, own);
  });
}

/** Minutes of a fill or set-up of a kind that can lie before a cut when it ends after it, at most, of one machine. */
function beforeCut(
  { rules }: Problem,
  { reach }: Buckets,
  { shortest, machines }: Kind,
  cut: number,
): number {
  const ahead = Math.max(shortest, rules.circuitMinutes, rules.bathMinutes) - 1;
  return Math.max(...machines.map((m) => underWay(reach[m]!, cut, ahead).before));
}

/** Flows times minutes of all machines together. */
function flowRows(
  problem: Problem,
  buckets: Buckets,
  { model, covered, work, carried }: Parts,
  source: number,
  own: readonly Own[],
  most: number,
): void {
  const { circuitMinutes, bathMinutes } = problem.rules;
  const carry = buckets.cuts.map((cut, t) =>
    t === 0
      ? -1
      : model.column(0, 0, most * Math.max(...own.map(({ kind }) => beforeCut(problem, buckets, kind, cut)))),
  );
  for (let t = 1; t < buckets.cuts.length; t++)
    model.row(-NONE, 0, [
      ...own.flatMap(({ kind: { flow, shortest }, k }) =>
        work(k, t, flow * shortest, flow * circuitMinutes, flow * bathMinutes),
      ),
      ...carried(carry, t),
      [covered[source]![t]!, -most],
    ]);
}

/**
 * Minute by minute the machines that run are part of one of the sets that the capacity allows: where only one of two can
 * run, what the other one leaves of the capacity is of no use to it.
 */
function setRows(
  problem: Problem,
  buckets: Buckets,
  { model, covered, work, carried }: Parts,
  source: number,
  own: readonly Own[],
  sets: readonly (readonly number[])[],
): void {
  const { circuitMinutes, bathMinutes } = problem.rules;
  const { cuts } = buckets;
  const carry = own.map(() => cuts.map(() => -1));
  for (let t = 1; t < cuts.length; t++) {
    const running = sets.map(() => model.column(0, 0, cuts[t]! - cuts[t - 1]!));
    model.row(-NONE, 0, [...running.map((column): Term => [column, 1]), [covered[source]![t]!, -1]]);
    const across = sets.map(() => model.column(0, 0, 1));
    model.row(
      -NONE,
      1,
      across.map((column): Term => [column, 1]),
    );
    own.forEach(({ kind, k }, i) => {
      const before = beforeCut(problem, buckets, kind, cuts[t]!);
      carry[i]![t] = model.column(0, 0, before * kind.machines.length);
      model.row(-NONE, 0, [
        [carry[i]![t]!, 1],
        ...sets.map((set, n): Term => [across[n]!, -before * set[i]!]),
      ]);
      model.row(-NONE, 0, [
        ...work(k, t, kind.shortest, circuitMinutes, bathMinutes),
        ...carried(carry[i]!, t),
        ...sets.map((set, n): Term => [running[n]!, -set[i]!]),
      ]);
    });
  }
}

/**
 * No more machines at a time than the capacity allows, each with whole fills one after the other: in a stretch that
 * nothing runs on from, such as a day without night staff, it is that many times what fits for one of them.
 */
function wholeRunRows(
  { cuts, runs: allRuns }: Buckets,
  { model, work }: Parts,
  source: number,
  own: readonly Own[],
  atOnce: number,
): void {
  const shortest = Math.min(...own.map(({ kind }) => kind.shortest));
  const runs = allRuns[source]!;
  for (const { from, to } of runs) {
    const first = cuts.findLastIndex((cut) => cut <= from);
    const end = cuts.findIndex((cut) => cut >= to);
    if (end < 0) continue;
    const most = runs
      .filter((run) => run.to > cuts[first]! && run.from < cuts[end]!)
      .reduce((sum, run) => sum + atOnce * Math.floor((run.to - run.from) / shortest), 0);
    const terms: Term[] = [];
    for (let t = first + 1; t <= end; t++) terms.push(...own.flatMap(({ k }) => work(k, t, 1, 0, 0)));
    model.row(-NONE, most, terms);
  }
}

/**
 * Where one machine runs at a time, the next one can run during the swap after a fill, but the same one cannot. So a swap
 * takes no time of the source only where another machine's fill or set-up follows; and then the life of the first one's
 * circuit passes meanwhile, unless the fill was its last.
 */
function turnRows(
  { rules, machines, horizon }: Problem,
  { cuts, runnable, runs: allRuns }: Buckets,
  { model, work }: Parts,
  source: number,
  own: readonly Own[],
): void {
  const { swapMinutes, circuitMinutes, bathMinutes, circuitLife } = rules;
  const spans = cuts.flatMap((_, t) => (t > 0 ? [t] : []));
  const turns = own.map((one) => {
    const { kind, k } = one;
    // A kind of several machines can take turns by itself.
    const others = kind.machines.length > 1 ? own : own.filter((other) => other !== one);
    const most = Math.ceil((horizon / kind.cycle) * kind.machines.length);
    const byFill = spans.map(() => model.column(0, 0, most));
    const bySetup = spans.map(() => model.column(0, 0, most));
    spans.forEach((t, n) => {
      model.row(-NONE, 0, [[byFill[n]!, 1], [bySetup[n]!, 1], ...work(k, t, -1, 0, 0)]);
      const upTo = (columns: readonly number[]) => columns.slice(0, n + 1).map((column): Term => [column, 1]);
      const done = (fill: number, setUp: number) =>
        others.flatMap((other) => spans.slice(0, n + 1).flatMap((u) => work(other.k, u, fill, setUp, setUp)));
      // What follows may still be under way at a cut; after the last one nothing is worth doing.
      const after = t === spans.at(-1) ? 0 : 1;
      model.row(-NONE, after, [...upTo(byFill), ...done(-1, 0)]);
      model.row(-NONE, after, [...upTo(bySetup), ...done(0, -1)]);
    });
    const least = Math.min(...others.map((other) => other.kind.shortest));
    const waits = Math.max(0, least - swapMinutes);
    // What is left of the life of circuits that are in place at the start.
    const left = kind.machines
      .map((m) => (machines[m]!.loaded?.since ?? -NONE) + circuitLife)
      .filter((life) => life > 0);
    model.row(-NONE, left.reduce((sum, life) => sum + life, 0) + waits * left.length, [
      ...spans.flatMap((t) => work(k, t, kind.cycle, -(circuitLife - circuitMinutes) - waits, bathMinutes)),
      ...byFill.map((column): Term => [column, waits]),
    ]);
    return { byFill, bySetup };
  });
  const all: Term[] = [];
  let minutes = 0;
  spans.forEach((t, n) => {
    minutes += runnable[source]![t]!;
    own.forEach(({ kind, k }, i) => {
      all.push(
        ...work(k, t, kind.cycle, circuitMinutes, bathMinutes),
        [turns[i]!.byFill[n]!, -swapMinutes],
        [turns[i]!.bySetup[n]!, -swapMinutes],
      );
    });
    // The swap after the last fill of a stretch need not lie in it.
    const stretches = allRuns[source]!.filter(({ from }) => from < cuts[t]!).length;
    model.row(-NONE, minutes + stretches * swapMinutes, all);
  });
}

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
function mostAtOnce(kinds: readonly Kind[], capacity: number): number {
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
function mostFlow(own: readonly Kind[], capacity: number): number {
  let sums = new Set([0]);
  for (const { flow, machines } of own)
    for (let n = 0; n < machines.length && sums.size < 5000; n++)
      sums = new Set([...sums].flatMap((sum) => (sum + flow <= capacity + 1e-9 ? [sum, sum + flow] : [sum])));
  const all = own.reduce((sum, { flow, machines }) => sum + flow * machines.length, 0);
  return sums.size < 5000 ? Math.max(...sums) : Math.min(capacity, all);
}
