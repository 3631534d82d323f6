import type { Columns } from '../columns.ts';
import { mostCapacity, waterLeft } from '../floor.ts';
import type { Kind } from '../kinds.ts';
import { NONE, type Term } from '../model.ts';
import { underWay } from '../reach.ts';
import { fullSets, mostAtOnce, mostFlow } from '../waterSets.ts';

/** A kind of a source, with its number among all kinds. */
interface Own {
  readonly kind: Kind;
  readonly k: number;
}

/** One source and the kinds that draw from it. */
interface Source {
  readonly columns: Columns;
  readonly source: number;
  readonly own: readonly Own[];
  /** Columns of its minutes under a test, [t]. */
  readonly covered: readonly number[];
}

/**
 * Flows of a source add up to no more than its capacity, and run only under a test.
 * @param covered columns of the minutes of each bucket under a test, [source][t]
 */
export function waterRows(columns: Columns, covered: readonly (readonly number[])[]): void {
  const { problem, buckets } = columns;
  problem.water.forEach((_, number) => {
    const capacity = mostCapacity(problem, number);
    const own = buckets.kinds.map((kind, k) => ({ kind, k })).filter(({ kind }) => kind.water === number);
    if (own.length === 0) return;
    const source = { columns, source: number, own, covered: covered[number]! };
    const kinds = own.map(({ kind }) => kind);
    const most = mostAtOnce(kinds, capacity);
    const limited = most < kinds.reduce((sum, { machines }) => sum + machines.length, 0);
    const sets = limited ? fullSets(kinds, capacity) : null;
    if (sets) setRows(source, sets);
    else flowRows(source, mostFlow(kinds, capacity));
    changingRows(source, capacity);
    if (!limited) return;
    wholeRunRows(source, most);
    if (most === 1) turnRows(source);
  });
}

/** Minutes of a fill or set-up of a kind that can lie before a cut when it ends after it, at most, of one machine. */
function beforeCut(
  { problem: { rules }, buckets }: Columns,
  { shortest, machines }: Kind,
  cut: number,
): number {
  const ahead = Math.max(shortest, rules.circuitMinutes, rules.bathMinutes) - 1;
  return Math.max(...machines.map((m) => underWay(buckets.reach[m]!, cut, ahead).before));
}

/** Flows times minutes of all machines together are no more than what there is, where that changes. */
function changingRows({ columns, source, own }: Source, most: number): void {
  const { problem, buckets, model, spans } = columns;
  const left = waterLeft(problem, source);
  if (left.every((flow) => flow === most)) return;
  const { circuitMinutes, bathMinutes } = problem.rules;
  const carry = buckets.cuts.map((cut, t) => {
    const before = Math.max(0, ...own.map(({ kind }) => beforeCut(columns, kind, cut)));
    return t === 0 ? -1 : model.column(0, 0, most * before);
  });
  for (const t of spans) {
    let there = 0;
    for (let minute = buckets.cuts[t - 1]!; minute < buckets.cuts[t]!; minute++)
      there += Math.max(0, left[minute]!);
    const unit = Math.max(1, most);
    model.row(-NONE, there / unit, [
      ...own.flatMap(({ kind: { flow, shortest }, k }) =>
        columns.work(k, t, {
          fill: (flow * shortest) / unit,
          circuit: (flow * circuitMinutes) / unit,
          change: (flow * bathMinutes) / unit,
        }),
      ),
      ...columns.carried(carry, t).map(([column, sign]): Term => [column, sign / unit]),
    ]);
  }
}

/** Flows times minutes of all machines together. */
function flowRows({ columns, own, covered }: Source, most: number): void {
  const { model, spans } = columns;
  const { circuitMinutes, bathMinutes } = columns.problem.rules;
  const carry = columns.buckets.cuts.map((cut, t) =>
    t === 0
      ? -1
      : model.column(0, 0, most * Math.max(...own.map(({ kind }) => beforeCut(columns, kind, cut)))),
  );
  for (const t of spans)
    model.row(-NONE, 0, [
      ...own.flatMap(({ kind: { flow, shortest }, k }) =>
        columns.work(k, t, {
          fill: flow * shortest,
          circuit: flow * circuitMinutes,
          change: flow * bathMinutes,
        }),
      ),
      ...columns.carried(carry, t),
      [covered[t]!, -most],
    ]);
}

/**
 * Minute by minute the machines that run are part of one of the sets that the capacity allows: where only one of two can
 * run, what the other one leaves of the capacity is of no use to it.
 */
function setRows({ columns, own, covered }: Source, sets: readonly (readonly number[])[]): void {
  const { model, spans } = columns;
  const { circuitMinutes, bathMinutes } = columns.problem.rules;
  const { cuts } = columns.buckets;
  const carry = own.map(() => cuts.map(() => -1));
  for (const t of spans) {
    const running = sets.map(() => model.column(0, 0, cuts[t]! - cuts[t - 1]!));
    model.row(-NONE, 0, [...running.map((column): Term => [column, 1]), [covered[t]!, -1]]);
    const across = sets.map(() => model.column(0, 0, 1));
    model.row(
      -NONE,
      1,
      across.map((column): Term => [column, 1]),
    );
    own.forEach(({ kind, k }, i) => {
      const before = beforeCut(columns, kind, cuts[t]!);
      carry[i]![t] = model.column(0, 0, before * kind.machines.length);
      model.row(-NONE, 0, [
        [carry[i]![t]!, 1],
        ...sets.map((set, n): Term => [across[n]!, -before * set[i]!]),
      ]);
      model.row(-NONE, 0, [
        ...columns.work(k, t, { fill: kind.shortest, circuit: circuitMinutes, change: bathMinutes }),
        ...columns.carried(carry[i]!, t),
        ...sets.map((set, n): Term => [running[n]!, -set[i]!]),
      ]);
    });
  }
}

/**
 * No more machines at a time than the capacity allows, each with whole fills one after the other: in a stretch that
 * nothing runs on from, such as a day without night staff, it is that many times what fits for one of them.
 */
function wholeRunRows({ columns, source, own }: Source, atOnce: number): void {
  const { cuts, runs: allRuns } = columns.buckets;
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
    for (let t = first + 1; t <= end; t++) terms.push(...own.flatMap(({ k }) => columns.fills(k, t)));
    columns.model.row(-NONE, most, terms);
  }
}

/** Columns of a kind's swaps during which another machine fills, or is set up, by span. */
interface Turns {
  readonly byFill: readonly number[];
  readonly bySetup: readonly number[];
}

/**
 * Where one machine runs at a time, the next one can run during the swap after a fill, but the same one cannot. So a swap
 * takes no time of the source only where another machine's fill or set-up follows; and then the life of the first one's
 * circuit passes meanwhile, unless the fill was its last.
 */
function turnRows(given: Source): void {
  const { columns, source, own } = given;
  const { buckets, model, spans } = columns;
  const { swapMinutes, circuitMinutes, bathMinutes } = columns.problem.rules;
  const turns = own.map((one) => turnsOf(given, one));
  const all: Term[] = [];
  let minutes = 0;
  spans.forEach((t, n) => {
    minutes += buckets.runnable[source]![t]!;
    own.forEach(({ kind, k }, i) => {
      all.push(
        ...columns.work(k, t, { fill: kind.cycle, circuit: circuitMinutes, change: bathMinutes }),
        [turns[i]!.byFill[n]!, -swapMinutes],
        [turns[i]!.bySetup[n]!, -swapMinutes],
      );
    });
    // The swap after the last fill of a stretch need not lie in it.
    const stretches = buckets.runs[source]!.filter(({ from }) => from < buckets.cuts[t]!).length;
    model.row(-NONE, minutes + stretches * swapMinutes, all);
  });
}

/** The swaps of one kind that other machines hide, and the circuits' lives that pass meanwhile. */
function turnsOf({ columns, own }: Source, one: Own): Turns {
  const { model, spans } = columns;
  const { rules, machines, horizon } = columns.problem;
  const { swapMinutes, circuitMinutes, bathMinutes, circuitLife } = rules;
  const { kind, k } = one;
  // A kind of several machines can take turns by itself.
  const others = kind.machines.length > 1 ? own : own.filter((other) => other !== one);
  const most = Math.ceil((horizon / kind.cycle) * kind.machines.length);
  const byFill = spans.map(() => model.column(0, 0, most));
  const bySetup = spans.map(() => model.column(0, 0, most));
  spans.forEach((t, n) => {
    const minusFills = columns.work(k, t, { fill: -1, circuit: 0, change: 0 });
    model.row(-NONE, 0, [[byFill[n]!, 1], [bySetup[n]!, 1], ...minusFills]);
    const upTo = (list: readonly number[]) => list.slice(0, n + 1).map((column): Term => [column, 1]);
    const done = (fill: number, setUp: number) =>
      others.flatMap((other) =>
        spans
          .slice(0, n + 1)
          .flatMap((u) => columns.work(other.k, u, { fill, circuit: setUp, change: setUp })),
      );
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
  const life = { fill: kind.cycle, circuit: -(circuitLife - circuitMinutes) - waits, change: bathMinutes };
  model.row(-NONE, left.reduce((sum, life) => sum + life, 0) + waits * left.length, [
    ...spans.flatMap((t) => columns.work(k, t, life)),
    ...byFill.map((column): Term => [column, waits]),
  ]);
  return { byFill, bySetup };
}
