import type { Demand } from '../../../src/demand/demand.ts';
import type { Solver } from '../../../src/planner/bounds/highs.ts';
import { LinearModel } from '../../../src/planner/bounds/model.ts';
import type { Problem } from '../../../src/scenario/problem/types.ts';

/** Minutes of one step of the grid. */
export const STEP = 10;
const NONE = Number.POSITIVE_INFINITY;
type Term = readonly [column: number, coefficient: number];

/**
 * The optimum of a tiny world, proven by a time-indexed model in steps of 10 minutes, machine by machine: unmet bags,
 * bags short of the reserve, then hands-on minutes.
 *
 * The grid loses nothing when every length and every given time is a multiple of 10 and a test serves 240 minutes in all
 * (testEvery 239): moving each start and end of any valid plan down to the grid keeps it valid, for what is under way in
 * step g there is under way in minute g + 9 of the old plan. Throws when a world is not of that kind.
 */
export function exactOptimum(
  problem: Problem,
  demand: Demand,
  solver: Solver,
): { unmetLitres: number; reserveShort: number; handsOnMinutes: number } {
  const unmetBags = solve(problem, demand, solver, null, null);
  const reserveShort = solve(problem, demand, solver, unmetBags, null);
  return {
    unmetLitres: unmetBags * problem.rules.fillLitres,
    reserveShort,
    handsOnMinutes: solve(problem, demand, solver, unmetBags, reserveShort),
  };
}

function steps(minutes: number): number {
  if (minutes % STEP !== 0) throw new Error(`${minutes} min is not on the grid of ${STEP} min`);
  return minutes / STEP;
}

function solve(
  problem: Problem,
  demand: Demand,
  solver: Solver,
  unmet: number | null,
  reserve: number | null,
): number {
  const { rules, horizon, staff } = problem;
  const model = new LinearModel();
  const cost = (minutes: number) => (unmet !== null && reserve !== null ? minutes : 0);
  const binary = (minutes: number) => model.column(cost(minutes), 0, 1, true);
  // Nothing is done after the last window and the swap that follows it.
  const closing = Math.max(...problem.machines.flatMap(({ windows }) => windows.map(({ to }) => to)));
  const end = Math.min(steps(horizon), steps(closing) + steps(rules.swapMinutes));
  const [swap, circuit, change, release] = [
    rules.swapMinutes,
    rules.circuitMinutes,
    rules.bathMinutes,
    rules.releaseMinutes,
  ].map(steps) as [number, number, number, number];
  const life = steps(rules.circuitLife);
  /** What is under way in each step. */
  const hands: Term[][] = Array.from({ length: end }, () => []);
  const flow: Term[][][] = problem.water.map(() => Array.from({ length: end }, () => []));
  const made: { bath: number; end: number; column: number; bags: number }[] = [];
  const used: { supply: number; at: number; term: Term }[] = [];
  const testEnds: number[][] = problem.water.map(() => []);
  const fill = (list: Term[][], from: number, to: number, term: Term) => {
    for (let t = from; t < to; t++) list[t]!.push(term);
  };

  problem.water.forEach(({ testMinutes }, source) => {
    for (let t = 0; t + steps(testMinutes) <= end; t++) {
      const column = binary(testMinutes);
      fill(hands, t, t + steps(testMinutes), [column, 1]);
      testEnds[source]![t + steps(testMinutes)] = column;
    }
  });
  problem.machines.forEach((machine, m) => {
    const inWindow = (from: number, to: number) =>
      to <= end && machine.windows.some((w) => w.from <= from * STEP && to * STEP <= w.to);
    const busy: Term[][] = Array.from({ length: end }, () => []);
    const circuits: (number | undefined)[][] = problem.baths.map(() => []);
    const setUps: Term[][][] = problem.baths.map(() => Array.from({ length: end + 1 }, () => []));
    const loaded = machine.loaded && machine.loaded.since + rules.circuitLife > 0 ? machine.loaded : null;
    const use = (
      at: number,
      length: number,
      bath: number,
      kind: 'circuit' | 'bath' | 'fill',
      column: number,
    ) =>
      problem.supplies.forEach((row, supply) => {
        if (row.bath !== null && row.bath !== bath) return;
        const each = kind === 'circuit' ? row.perCircuit : kind === 'fill' ? row.perFill : 0;
        used.push({ supply, at, term: [column, each + row.perMinute[m]! * length * STEP] });
      });
    const start = (
      t: number,
      length: number,
      bath: number,
      kind: 'circuit' | 'bath' | 'fill',
      minutes: number,
    ) => {
      const column = binary(minutes);
      fill(busy, t, t + length, [column, 1]);
      fill(flow[machine.water]!, t, t + length, [column, machine.flow]);
      use(t, length, bath, kind, column);
      if (kind !== 'fill') {
        fill(hands, t, t + length, [column, 1]);
        setUps[bath]![t + length]!.push([column, 1]);
      }
      return column;
    };
    for (const bath of machine.baths)
      for (let t = 0; t < end; t++)
        if (inWindow(t, t + circuit))
          circuits[bath]![t] = start(t, circuit, bath, 'circuit', rules.circuitMinutes);
    /** A circuit young enough for something that starts at t and ends at `by`. */
    const bearing = (column: number, t: number, by: number) => {
      const terms: Term[] = [];
      for (let s = Math.max(0, by - life); s + circuit <= t; s++)
        for (const bath of machine.baths)
          if (circuits[bath]![s] !== undefined) terms.push([circuits[bath]![s]!, 1]);
      const given = loaded && by * STEP <= loaded.since + rules.circuitLife ? 1 : 0;
      model.row(-given, NONE, [...terms, [column, -1]]);
    };
    const changes = machine.baths.flatMap((bath) =>
      Array.from({ length: end }, (_, t) => t)
        .filter((t) => inWindow(t, t + change))
        .map((t) => ({ t, column: start(t, change, bath, 'bath', rules.bathMinutes) })),
    );
    for (const { t, column } of changes) bearing(column, t, t + change);
    const state = machine.baths.map((bath) =>
      Array.from({ length: end }, () => [bath, model.column(0, 0, 1)] as const),
    );
    for (let t = 0; t < end; t++) {
      model.row(
        -NONE,
        1,
        state.map((line): Term => [line[t]![1], 1]),
      );
      for (const line of state) {
        const [bath, column] = line[t]!;
        const before: Term[] = t > 0 ? [[line[t - 1]![1], 1]] : [];
        const given = t === 0 && loaded?.bath === bath ? 1 : 0;
        model.row(-given, NONE, [...before, ...setUps[bath]![t]!, [column, -1]]);
      }
    }
    for (const line of state)
      for (let length = Math.ceil(machine.shortest / STEP); length * STEP <= machine.longest; length++)
        for (let t = 0; t < end; t++) {
          const off = t + length;
          if (staff[t * STEP]! === 0 || !inWindow(t, off) || !inWindow(off, off + swap)) continue;
          const [bath, on] = line[t]!;
          const column = start(t, length, bath, 'fill', rules.swapMinutes);
          fill(busy, off, off + swap, [column, 1]);
          fill(hands, off, off + swap, [column, 1]);
          model.row(0, NONE, [
            [on, 1],
            [column, -1],
          ]);
          bearing(column, t, off + swap);
          made.push({ bath, end: off, column, bags: machine.positions });
        }
    for (const terms of busy) model.row(-NONE, 1, terms);
  });

  for (let t = 0; t < end; t++) model.row(-NONE, staff[t * STEP]!, hands[t]!);
  problem.water.forEach(({ capacity, testEvery, lastTest }, source) => {
    if ((testEvery + 1) % STEP !== 0) throw new Error('a test must serve whole steps');
    for (let t = 0; t < end; t++) {
      model.row(-NONE, capacity, flow[source]![t]!);
      if (lastTest !== null && t * STEP + STEP - 1 <= lastTest + testEvery) continue;
      const tests: Term[] = [];
      for (let e = Math.max(0, t + 1 - (testEvery + 1) / STEP); e <= t; e++)
        if (testEnds[source]![e] !== undefined) tests.push([testEnds[source]![e]!, 1]);
      for (const [column] of flow[source]![t]!) model.row(0, NONE, [...tests, [column, -1]]);
    }
  });
  problem.supplies.forEach(({ onHand, deliveries }, supply) => {
    for (let t = 0; t < end; t++) {
      const there = deliveries.reduce(
        (sum, { at, quantity }) => sum + (at <= t * STEP ? quantity : 0),
        onHand,
      );
      model.row(
        -NONE,
        there,
        used.filter((one) => one.supply === supply && one.at <= t).map(({ term }) => term),
      );
    }
  });

  const sinks = problem.baths.flatMap((_, bath) => [
    ...problem.rounds.map(({ index, at, to }) => ({
      bath,
      at,
      to,
      bags: demand.bags[bath]![index]!,
      reserve: false,
    })),
    { bath, at: horizon, to: horizon + 1440, bags: problem.reserve[bath]!, reserve: true },
  ]);
  const taken: Term[][] = sinks.map(() => []);
  const serve = (bath: number, ready: number, expires: number, upper: number, from: Term[]) => {
    const parts = sinks.flatMap((sink, index): Term[] => {
      if (sink.bath !== bath || ready > sink.at || expires < sink.to) return [];
      const column = model.column(0, 0, NONE);
      taken[index]!.push([column, 1]);
      return [[column, 1]];
    });
    if (parts.length > 0) model.row(-NONE, upper, [...parts, ...from]);
  };
  for (const { bath, bags, bagParts, ready, expires } of problem.lots)
    serve(bath, ready, expires, (bags * bagParts) / problem.bagParts, []);
  for (const bath of problem.baths.keys())
    for (let t = 1; t <= end; t++)
      serve(
        bath,
        (t + swap + release) * STEP,
        t * STEP + rules.shelf,
        0,
        made
          .filter((one) => one.bath === bath && one.end === t)
          .map(({ column, bags }): Term => [column, -bags]),
      );
  const short = sinks.map(({ bags, reserve: kept }, index) => {
    const own = unmet === null ? !kept : reserve === null && kept;
    const column = model.column(own ? 1 : 0, 0, bags);
    model.row(bags, NONE, [...taken[index]!, [column, 1]]);
    return { kept, column };
  });
  const limit = (most: number | null, kept: boolean) => {
    if (most !== null)
      model.row(
        -NONE,
        most + 1e-6,
        short.filter((one) => one.kept === kept).map(({ column }): Term => [column, 1]),
      );
  };
  limit(unmet, false);
  limit(reserve, true);
  const outcome = solver.solve(model, { gap: 0, seconds: 100 });
  if (outcome.status !== 'optimal') throw new Error(`no optimum: ${outcome.status} ${outcome.message}`);
  // Bags come in parts of a litre, minutes whole.
  return Math.round(outcome.objective * problem.bagParts) / problem.bagParts;
}
