import type { Problem } from '../../scenario/problem/types.ts';
import {
  type Buckets,
  canServe,
  type Kind,
  lotServes,
  mostOfKind,
  mostOnLine,
  onLoaded,
  reachesOf,
} from './buckets.ts';
import { LinearModel, NONE, type Term } from './highs.ts';
import { latestOf, mostAfterChange, mostOnCircuit, underWay } from './reach.ts';
import { waterRows } from './waterRows.ts';
import { EACH, wholeRows } from './whole.ts';

/**
 * Rows up to which each kind is asked by itself how often it takes a bath: in larger models that took many times as long
 * and proved no minute more, but many litres.
 */
const SMALL = { minutes: 600, litres: 2000 };

/** Buckets in a row, from another one than the first, whose whole lines are counted in a larger model. */
const FAR = 4;

/** Columns of a kind in one bucket, by bath number (-1: the kind cannot run it). */
export interface KindColumns {
  readonly fills: readonly number[];
  readonly circuits: readonly number[];
  readonly changes: readonly number[];
  /** Machines that end the bucket with the bath loaded. */
  readonly loaded: readonly number[];
}

/** The model with the places of its columns. Bags are counted in bags of fillLitres. */
export interface Counted {
  readonly model: LinearModel;
  /** [kind][t], t from 1 */
  readonly kinds: readonly (readonly KindColumns[])[];
  /** [source][t] */
  readonly tests: readonly (readonly number[])[];
  /** Bags that a sink does not get, by sink. */
  readonly short: readonly number[];
}

/** What a plan must not be worse in, in bags; null: any plan. */
export interface Allowed {
  readonly unmetBags: number;
  readonly reserveBags: number;
}

/**
 * The counted model: what any valid plan does, summed over the machines of a kind and the minutes of a bucket, so that
 * machines have no names and the solver meets no symmetry. Every valid plan is a point of it (a row's comment says why),
 * so its least value is a bound on every plan; the other way round is not true.
 *
 * Fills, set-ups and tests are counted in the bucket in which they end. What is done of them before the cut, less what
 * is still to do of swaps after it, is carried over the cut (`carry`), within what can be under way at one moment.
 * @param allowed null: minimises unmet bags; else minimises hands-on minutes of plans no worse than that
 */
export function countedModel(problem: Problem, buckets: Buckets, allowed: Allowed | null): Counted {
  const { rules } = problem;
  const { cuts, kinds } = buckets;
  const last = cuts.length - 1;
  const model = new LinearModel();
  const hands = (minutes: number) => (allowed ? minutes : 0);
  // No plan has more of anything: each activity and each minute of a machine or a source counts once.
  const many = (problem.horizon + 1) * (problem.machines.length + problem.water.length);
  const spans = Array.from({ length: last }, (_, index) => index + 1);

  const columns = kinds.map((kind) => {
    const start = problem.baths.map(
      (_, bath) =>
        kind.machines.filter((index) => {
          const { loaded } = problem.machines[index]!;
          return loaded?.bath === bath && loaded.since + rules.circuitLife > 0;
        }).length,
    );
    return cuts.map((_, t): KindColumns => {
      const each = (make: (bath: number) => number) =>
        problem.baths.map((_, bath) => (kind.baths.includes(bath) ? make(bath) : -1));
      if (t === 0)
        return {
          fills: [],
          circuits: [],
          changes: [],
          loaded: each((bath) => model.column(0, start[bath]!, start[bath]!)),
        };
      const most = mostOfKind(problem, buckets, kind, t - 1, t);
      return {
        fills: each(() => model.column(hands(rules.swapMinutes), 0, most)),
        circuits: each(() => model.column(hands(rules.circuitMinutes), 0, many)),
        changes: each(() => model.column(hands(rules.bathMinutes), 0, many)),
        loaded: each(() => model.column(0, 0, kind.machines.length)),
      };
    });
  });
  const tests = problem.water.map(({ testMinutes }) =>
    cuts.map((_, t) => (t === 0 ? -1 : model.column(hands(testMinutes), 0, many, EACH))),
  );
  /** Terms of all fills, circuits and changes of a kind in a bucket. */
  const work = (k: number, t: number, fill: number, circuit: number, change: number): Term[] => {
    const own = columns[k]![t]!;
    return kinds[k]!.baths.flatMap((bath): Term[] => [
      [own.fills[bath]!, fill],
      [own.circuits[bath]!, circuit],
      [own.changes[bath]!, change],
    ]);
  };
  const minutesOfWork = (k: number, t: number) =>
    work(k, t, kinds[k]!.cycle, rules.circuitMinutes, rules.bathMinutes);
  const carried = (carry: readonly number[], t: number): Term[] => [
    [carry[t]!, 1],
    ...(t > 1 ? [[carry[t - 1]!, -1] as const] : []),
  ];

  const covered = testRows();
  kinds.forEach((kind, k) => {
    bathRows(kind, k);
    circuitRows(kind, k);
    machineRows(kind, k);
  });
  waterRows(problem, buckets, { model, covered, work, carried });
  staffRows();
  supplyRows();
  const short = coverRows();
  const counted = { model, kinds: columns, tests, short };
  const small = model.rowLower.length <= (allowed ? SMALL.minutes : SMALL.litres);
  if (small) kinds.forEach(campaignRows);
  kinds.forEach((kind, k) => {
    lineRows(kind, k, small ? last : FAR);
  });
  wholeRows(problem, buckets, counted, allowed, { many, byKind: small });
  return counted;

  /** A machine fills only what is loaded, and one bath is loaded at a time. */
  function bathRows(kind: Kind, k: number): void {
    for (const t of spans) {
      const own = columns[k]![t]!;
      const before = columns[k]![t - 1]!;
      const most = Math.max(
        ...kind.machines.map((index) =>
          mostOfKind(problem, buckets, { ...kind, machines: [index] }, t - 1, t),
        ),
      );
      for (const bath of kind.baths) {
        const ways: Term[] = [
          [before.loaded[bath]!, 1],
          [own.circuits[bath]!, 1],
          [own.changes[bath]!, 1],
        ];
        // Each stretch of one bath on one machine within the bucket began at its cut or with a set-up in it.
        model.row(0, NONE, [...ways.map(([column]): Term => [column, most]), [own.fills[bath]!, -1]]);
        model.row(0, NONE, [...ways, [own.loaded[bath]!, -1]]);
      }
      model.row(
        -NONE,
        kind.machines.length,
        kind.baths.map((bath): Term => [own.loaded[bath]!, 1]),
      );
    }
  }

  /** Every fill is on a circuit; one circuit bears only so many, within its life. */
  function circuitRows(kind: Kind, k: number): void {
    const on: Term[][] = cuts.map(() => []);
    for (const s of spans) {
      const most = mostIn(kind, s, mostOnCircuit);
      const lastEnd = cuts[s]! - rules.circuitMinutes + rules.circuitLife - rules.swapMinutes;
      const made = kind.baths.map((bath) => columns[k]![s]!.circuits[bath]!);
      const parts: Term[] = [];
      for (let t = s; t <= last && cuts[t - 1]! < lastEnd; t++) {
        const part = model.column(0, 0, many);
        on[t]!.push([part, 1]);
        parts.push([part, 1]);
      }
      model.row(0, NONE, [
        ...made.map((column): Term => [column, most]),
        ...parts.map(([column]): Term => [column, -1]),
      ]);
    }
    for (const index of kind.machines) {
      const { most, lastEnd } = onLoaded(problem, buckets, index);
      if (most === 0) continue;
      const parts: Term[] = [];
      for (let t = 1; t <= last && cuts[t - 1]! < lastEnd; t++) {
        const part = model.column(0, 0, most);
        on[t]!.push([part, 1]);
        parts.push([part, 1]);
      }
      model.row(-NONE, most, parts);
    }
    for (const t of spans)
      model.row(0, 0, [...on[t]!, ...kind.baths.map((bath): Term => [columns[k]![t]!.fills[bath]!, -1])]);
  }

  /** Most fills that what a machine of a kind does in a bucket bears. */
  function mostIn(kind: Kind, t: number, of: typeof mostOnCircuit): number {
    return Math.max(...reachesOf(buckets, kind).map((own) => of(problem, own, cuts[t - 1]!, cuts[t]!)));
  }

  /**
   * Fills of one bath in a row on one circuit are no more than it bears, and each such row begins with the circuit, with
   * a change to the bath or at the start: machines that have a bath loaded in part for ever do not make it for nothing.
   */
  function campaignRows(kind: Kind, k: number): void {
    const most = spans.map((t) => ({
      t,
      onCircuit: mostIn(kind, t, mostOnCircuit),
      afterChange: mostIn(kind, t, mostAfterChange),
    }));
    for (const bath of kind.baths) {
      const given = kind.machines
        .filter((index) => problem.machines[index]!.loaded?.bath === bath)
        .reduce((sum, index) => sum + onLoaded(problem, buckets, index).most, 0);
      model.row(
        -given,
        NONE,
        most.flatMap(({ t, onCircuit, afterChange }): Term[] => {
          const { fills, circuits, changes } = columns[k]![t]!;
          return [
            [circuits[bath]!, onCircuit],
            [changes[bath]!, afterChange],
            [fills[bath]!, -1],
          ];
        }),
      );
    }
  }

  /** A machine does one thing at a time, within its windows, and while it runs its water is under a test. */
  function machineRows(kind: Kind, k: number): void {
    const { circuitMinutes, bathMinutes, swapMinutes } = rules;
    const count = kind.machines.length;
    const ahead = Math.max(kind.shortest, circuitMinutes, bathMinutes) - 1;
    const carry = cuts.map((cut, t) => {
      if (t === 0) return -1;
      const all = kind.machines.map((m) => underWay(buckets.reach[m]!, cut, Math.max(ahead, swapMinutes)));
      const sum = (minutes: number[]) => minutes.reduce((a, b) => a + b, 0);
      const after = sum(all.map((own) => Math.min(swapMinutes, own.after)));
      return model.column(0, -after, sum(all.map(({ before }) => Math.min(ahead, before))));
    });
    const all: Term[] = [];
    for (const t of spans) {
      const usable = kind.machines.reduce((sum, index) => {
        const { usable: upTo } = buckets.reach[index]!;
        return sum + upTo[cuts[t]!]! - upTo[cuts[t - 1]!]!;
      }, 0);
      const busy = [...minutesOfWork(k, t), ...carried(carry, t)];
      model.row(-NONE, usable, busy);
      // Outside the minutes under a test a machine can at most end its swap, once after each unbroken stretch of them.
      const stretches: Term = [tests[kind.water]![t]!, -count * swapMinutes];
      model.row(-NONE, count * swapMinutes, [...busy, [covered[kind.water]![t]!, -count], stretches]);
      all.push(...minutesOfWork(k, t), [covered[kind.water]![t]!, -count], stretches);
    }
    if (last === 0) return;
    const given = problem.water[kind.water]!.lastTest === null ? 0 : count * swapMinutes;
    model.row(-NONE, given, all);
    testStretchRow(kind, k);
    // Whole fills of one machine alone: from the start, and over neighbouring buckets.
    for (const from of [0, ...spans.slice(0, -1)])
      for (const to of spans.filter((t) => t > from && (from === 0 || t <= from + 3))) {
        const most = mostOfKind(problem, buckets, kind, from, to);
        const loose =
          ((cuts[to]! - cuts[from]!) * count + count * (swapMinutes + (from > 0 ? ahead : 0))) / kind.cycle;
        if (most > loose - 0.1) continue;
        model.row(
          -NONE,
          most,
          spans.slice(from, to).flatMap((t) => work(k, t, 1, 0, 0)),
        );
      }
  }

  /**
   * A machine alone makes so many fills on the circuit it has, so many with one new circuit, with two ... (`mostOnLine`).
   * Whatever one circuit is said to be worth, no number of them leaves it more fills beyond that than the best number does,
   * and so for all machines of the kind together: a circuit for the last hour of a week is not worth what others are.
   * @param far buckets of the longest spells, but for those from the start
   */
  function lineRows(kind: Kind, k: number, far: number): void {
    const alike = new Map<string, number[]>();
    for (const index of kind.machines) {
      const { loaded, windows } = problem.machines[index]!;
      const key = JSON.stringify([loaded?.since, windows]);
      alike.set(key, [...(alike.get(key) ?? []), index]);
    }
    for (const from of [0, ...spans]) {
      const lines = [...alike.values()].map((machines) => ({
        count: machines.length,
        most: mostOnLine(problem, buckets, machines[0]!, from),
      }));
      for (const to of spans.filter((t) => t > from && (from === 0 || t <= from + far))) {
        const each = lines.map(({ count, most }) => ({ count, fills: most(to) }));
        const worths = each.flatMap(({ fills }) => fills.slice(1).map((n, c) => n - fills[c]!));
        for (const worth of new Set([0, ...worths]))
          model.row(
            -NONE,
            each.reduce(
              (sum, own) => sum + own.count * Math.max(...own.fills.map((n, c) => n - worth * c)),
              0,
            ),
            spans.slice(from, to).flatMap((t) => work(k, t, 1, -worth, 0)),
          );
      }
    }
  }

  /** Whole fills that fit into an unbroken stretch under n tests, and into the longest there is, at the best n. */
  function testStretchRow(kind: Kind, k: number): void {
    const { testEvery, lastTest } = problem.water[kind.water]!;
    let rate = 0;
    for (let n = 1; n <= problem.horizon / (testEvery + 1) + 2; n++) {
      const stretch = Math.min(n * (testEvery + 1), buckets.longestRun[kind.water]!);
      rate = Math.max(rate, Math.floor((stretch + rules.swapMinutes) / kind.cycle) / n);
    }
    const each = rate * kind.machines.length;
    model.row(-NONE, lastTest === null ? 0 : each, [
      ...spans.flatMap((t) => work(k, t, 1, 0, 0)),
      ...spans.map((t): Term => [tests[kind.water]![t]!, -each]),
    ]);
  }

  /** Columns of the minutes of each bucket under a test, [source][t]; a test that ends at e serves e..e+testEvery. */
  function testRows(): number[][] {
    return problem.water.map(({ testEvery, lastTest }, source) => {
      const under = cuts.map((_, t) => (t === 0 ? -1 : model.column(0, 0, buckets.runnable[source]![t]!)));
      const from: Term[][] = cuts.map(() => []);
      for (const s of spans) {
        const parts: Term[] = [[tests[source]![s]!, -(testEvery + 1)]];
        for (let t = s; t <= last; t++) {
          const served = buckets.lastTest[source]![s]! + testEvery + 1;
          const most = t === s ? many : Math.min(cuts[t]!, served) - cuts[t - 1]!;
          if (most <= 0) break;
          const part = model.column(0, 0, most);
          from[t]!.push([part, 1]);
          parts.push([part, 1]);
        }
        model.row(-NONE, 0, parts);
      }
      for (const t of spans) {
        const given = lastTest === null ? 0 : Math.min(cuts[t]!, lastTest + testEvery + 1) - cuts[t - 1]!;
        model.row(-NONE, Math.max(0, given), [[under[t]!, 1], ...from[t]!.map(([c]): Term => [c, -1])]);
      }
      return under;
    });
  }

  /** Hands: a swap starts in the bucket in which its fill ends and may run on; all else is counted when it ends. */
  function staffRows(): void {
    const { circuitMinutes, bathMinutes, swapMinutes } = rules;
    const longest = Math.max(
      circuitMinutes,
      bathMinutes,
      ...problem.water.map(({ testMinutes }) => testMinutes),
    );
    const carry = cuts.map((cut, t) => {
      const after = problem.staff[cut] ?? 0;
      const both = Math.min(after, problem.staff[cut - 1] ?? 0);
      return t === 0 ? -1 : model.column(0, -after * swapMinutes, both * (longest - 1));
    });
    for (const t of spans)
      model.row(-NONE, buckets.staff[t]!, [
        ...kinds.flatMap((_, k) => work(k, t, swapMinutes, circuitMinutes, bathMinutes)),
        ...problem.water.map(({ testMinutes }, source): Term => [tests[source]![t]!, testMinutes]),
        ...carried(carry, t),
      ]);
  }

  /** What of a kind had ended by a cut had begun, at the latest, when the last of it could: before a delivery, or after. */
  function supplyRows(): void {
    const { circuitMinutes, bathMinutes } = rules;
    const latest = (kind: Kind, ends: 'someEnd' | 'nextCircuit' | 'nextChange', lasts: number) =>
      cuts.map((cut) => Math.max(...reachesOf(buckets, kind).map((own) => latestOf(own[ends], cut) - lasts)));
    const begun = kinds.map((kind) => ({
      fills: latest(kind, 'someEnd', kind.shortest),
      circuits: latest(kind, 'nextCircuit', circuitMinutes),
      changes: latest(kind, 'nextChange', bathMinutes),
    }));
    for (const { onHand, deliveries, perCircuit, perFill, perMinute, bath } of problem.supplies) {
      const moments = [...new Set(deliveries.map(({ at }) => at)), NONE];
      for (const moment of moments) {
        const there = deliveries.reduce(
          (sum, { at, quantity }) => sum + (at < moment ? quantity : 0),
          onHand,
        );
        const terms = kinds.flatMap(({ machines, shortest, baths }, k): Term[] => {
          const flow = perMinute[machines[0]!]!;
          const uses = {
            fills: perFill + flow * shortest,
            circuits: perCircuit + flow * circuitMinutes,
            changes: flow * bathMinutes,
          };
          return spans.flatMap((t) =>
            (['fills', 'circuits', 'changes'] as const).flatMap((what) =>
              uses[what] > 0 && begun[k]![what][t]! < moment
                ? baths
                    .filter((b) => bath === null || b === bath)
                    .map((b): Term => [columns[k]![t]![what][b]!, uses[what]])
                : [],
            ),
          );
        });
        const unit = terms.reduce((most, [, amount]) => Math.max(most, amount), 0);
        if (unit > 0)
          model.row(
            -NONE,
            there / unit,
            terms.map(([column, amount]): Term => [column, amount / unit]),
          );
      }
    }
  }

  /** Lots and fills serve rounds and reserve, each bag once, ready in time and not expired. */
  function coverRows(): number[] {
    const { sinks } = buckets;
    const taken: Term[][] = sinks.map(() => []);
    const give = (bath: number, most: number, serves: (sink: (typeof sinks)[number]) => boolean): Term[] =>
      sinks.flatMap((sink, index): Term[] => {
        if (sink.bath !== bath || !serves(sink)) return [];
        const part = model.column(0, 0, Math.min(most, sink.bags));
        taken[index]!.push([part, 1]);
        return [[part, 1]];
      });
    for (const lot of problem.lots) {
      const { bath, bags, bagParts } = lot;
      const size = (bags * bagParts) / problem.bagParts;
      model.row(
        -NONE,
        size,
        give(bath, size, (sink) => lotServes(lot, sink)),
      );
    }
    problem.baths.forEach((_, bath) => {
      for (const t of spans) {
        const parts = give(bath, NONE, (sink) => canServe(buckets, t, sink));
        const made = kinds.flatMap(({ positions, baths }, k): Term[] =>
          baths.includes(bath) ? [[columns[k]![t]!.fills[bath]!, -positions]] : [],
        );
        model.row(-NONE, 0, [...parts, ...made]);
      }
    });
    const missing = sinks.map(({ bags, round }, index) => {
      const short = model.column(!allowed && round !== null ? 1 : 0, 0, bags);
      model.row(bags, NONE, [...taken[index]!, [short, 1]]);
      return short;
    });
    if (allowed) {
      const sum = (reserve: boolean) =>
        missing
          .filter((_, index) => (sinks[index]!.round === null) === reserve)
          .map((column): Term => [column, 1]);
      model.row(-NONE, allowed.unmetBags + 1e-6, sum(false));
      model.row(-NONE, allowed.reserveBags + 1e-6, sum(true));
    }
    return missing;
  }
}
