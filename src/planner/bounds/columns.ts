import type { Problem } from '../../scenario/problem/types.ts';
import type { Buckets } from './buckets.ts';
import { handsOn, handsOnTest } from './floor.ts';
import { mostOfKind } from './lines.ts';
import { LinearModel, type Term } from './model.ts';

/** How soon a search for a bound branches on the number of tests of one bucket: last of all. */
export const EACH = 1;

/** Columns of a kind in one bucket, by bath number (-1: the kind cannot run it). */
interface KindColumns {
  readonly fills: readonly number[];
  readonly circuits: readonly number[];
  readonly changes: readonly number[];
  /** Machines that end the bucket with the bath loaded. */
  readonly loaded: readonly number[];
}

/** What a plan must not be worse in, in bags of fillLitres; infinity: no matter. */
export interface Allowed {
  readonly unmetBags: number;
  /** Each times the hours from its round to the horizon's end. */
  readonly unmetBagHours: number;
  readonly reserveBags: number;
}

/** A coefficient for each thing that a machine does. */
interface PerWork {
  readonly fill: number;
  readonly circuit: number;
  readonly change: number;
}

/**
 * The columns of the counted model: how often each kind of machine fills, takes a circuit and changes its bath in each
 * bucket, and how often each source is tested. The families of rows (`rows/`) are written over them.
 */
export class Columns {
  readonly model = new LinearModel();
  readonly problem: Problem;
  readonly buckets: Buckets;
  /** Null: minimises unmet bags; else hands-on minutes of plans no worse than that. */
  readonly allowed: Allowed | null;
  /** [kind][t], t from 1 */
  readonly kinds: readonly (readonly KindColumns[])[];
  /** [source][t] */
  readonly tests: readonly (readonly number[])[];
  /** Numbers of the buckets: 1, 2 ... */
  readonly spans: readonly number[];
  /** No plan has more of anything: each activity and each minute of a machine or a source counts once. */
  readonly many: number;

  constructor(problem: Problem, buckets: Buckets, allowed: Allowed | null) {
    this.problem = problem;
    this.buckets = buckets;
    this.allowed = allowed;
    this.many = (problem.horizon + 1) * (problem.machines.length + problem.water.length);
    this.spans = Array.from({ length: buckets.cuts.length - 1 }, (_, index) => index + 1);
    this.kinds = buckets.kinds.map((_, k) => buckets.cuts.map((_, t) => this.columnsOf(k, t)));
    this.tests = problem.water.map((_, source) =>
      buckets.cuts.map((_, t) =>
        t === 0 ? -1 : this.model.column(this.hands(handsOnTest(problem, source)), 0, this.many, EACH),
      ),
    );
  }

  private hands(minutes: number): number {
    return this.allowed ? minutes : 0;
  }

  private columnsOf(k: number, t: number): KindColumns {
    const { problem, buckets, model, many } = this;
    const { rules, baths, machines } = problem;
    const kind = buckets.kinds[k]!;
    const each = (make: (bath: number) => number) =>
      baths.map((_, bath) => (kind.baths.includes(bath) ? make(bath) : -1));
    if (t === 0) {
      const start = baths.map(
        (_, bath) =>
          kind.machines.filter((index) => {
            const { loaded } = machines[index]!;
            return loaded?.bath === bath && loaded.since + rules.circuitLife > 0;
          }).length,
      );
      const loaded = each((bath) => model.column(0, start[bath]!, start[bath]!));
      return { fills: [], circuits: [], changes: [], loaded };
    }
    const most = mostOfKind(problem, buckets, kind, [t - 1, t]);
    const hands = handsOn(problem);
    return {
      fills: each(() => model.column(this.hands(hands.fill), 0, most)),
      circuits: each(() => model.column(this.hands(hands.circuit), 0, many)),
      changes: each(() => model.column(this.hands(hands.change), 0, many)),
      loaded: each(() => model.column(0, 0, kind.machines.length)),
    };
  }

  /** Terms of all fills, circuits and changes of a kind in a bucket. */
  work(k: number, t: number, { fill, circuit, change }: PerWork): Term[] {
    const own = this.kinds[k]![t]!;
    return this.buckets.kinds[k]!.baths.flatMap((bath): Term[] => [
      [own.fills[bath]!, fill],
      [own.circuits[bath]!, circuit],
      [own.changes[bath]!, change],
    ]);
  }

  /** Terms of all fills of a kind in a bucket, 1 each. */
  fills(k: number, t: number): Term[] {
    return this.work(k, t, { fill: 1, circuit: 0, change: 0 });
  }

  /** Minutes for which a kind's machines are busy with what ends in a bucket. */
  minutesOfWork(k: number, t: number): Term[] {
    const { circuitMinutes, bathMinutes } = this.problem.rules;
    const fill = this.buckets.kinds[k]!.cycle;
    return this.work(k, t, { fill, circuit: circuitMinutes, change: bathMinutes });
  }

  /** What crosses the cuts before and after a bucket. */
  carried(carry: readonly number[], t: number): Term[] {
    return [[carry[t]!, 1], ...(t > 1 ? [[carry[t - 1]!, -1] as const] : [])];
  }
}
