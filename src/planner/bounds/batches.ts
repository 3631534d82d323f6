import { canServe } from './buckets.ts';
import type { Columns } from './columns.ts';
import type { Kind } from './kinds.ts';
import { commonDivisor } from './multiples.ts';
import { lotServes, type Sink } from './sinks.ts';

/** Whole sets of a bath that any plan must fill for some of those who want it. */
export interface Batch {
  readonly bath: number;
  /** Kinds that can fill it, with their numbers. */
  readonly own: readonly { readonly kind: Kind; readonly k: number }[];
  /** Bags: the divisor of all their sets. */
  readonly size: number;
  /** Sets of that size, at least 1. */
  readonly sets: number;
  /** Buckets in which they end, ascending. */
  readonly within: readonly number[];
  /** They end after this minute. */
  readonly after: number;
}

/** Some of those who want a bath, in a row: number `from` to number `to` of `count`. */
interface Run {
  readonly from: number;
  readonly to: number;
  readonly count: number;
}

const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0);

/**
 * Bags are made in whole sets. Only where nothing may be short but what nothing can serve is it known what they must add
 * up to: all that is wanted, less what lots could give at most.
 */
export class Batches {
  private readonly columns: Columns;
  private readonly serving: ReadonlyMap<Sink, readonly number[]>;
  /** Who must be served, by bath, in order of time; empty where something may be short. */
  private readonly sinks: readonly (readonly Sink[])[];

  constructor(columns: Columns) {
    const { problem, buckets, allowed, spans } = columns;
    this.columns = columns;
    this.serving = new Map(
      [...buckets.sinks, ...buckets.stocks].map((sink) => [
        sink,
        spans.filter((t) => canServe(buckets, t, sink)),
      ]),
    );
    const reached = buckets.sinks.filter(
      (sink) =>
        this.serving.get(sink)!.length > 0 ||
        problem.lots.some((lot) => lot.bath === sink.bath && lotServes(lot, sink)),
    );
    const lost = buckets.sinks.filter((sink) => sink.round !== null && !reached.includes(sink));
    const certain = allowed !== null && allowed.unmetBags <= sum(lost.map(({ bags }) => bags)) + 1e-6;
    this.sinks = problem.baths.map((_, bath) =>
      certain
        ? reached.filter((sink) => sink.bath === bath && (sink.round !== null || allowed.reserveBags === 0))
        : [],
    );
  }

  /** Of a bath, for each run of those who must be served that `takes` wants. */
  ofRuns(bath: number, takes: (run: Run) => boolean = () => true): Batch[] {
    const sinks = this.sinks[bath]!;
    return sinks.flatMap((_, from) =>
      sinks.slice(from).flatMap((last, n): Batch[] => {
        const wanted = sinks.slice(from, from + n + 1);
        const run = { from, to: from + n, count: sinks.length };
        if (!takes(run)) return [];
        // What is left after the run's last round is there beside what the run takes.
        const left = this.stocks.find(({ bath: of, round }) => of === bath && round === last.round);
        return [this.of(wanted, null), left ? this.of(wanted, left) : null].filter((batch) => batch !== null);
      }),
    );
  }

  /** What is wanted in stock after a round, where no more than so much may be missing. */
  private get stocks(): readonly Sink[] {
    const { buckets, allowed } = this.columns;
    return allowed && Number.isFinite(allowed.reserveBags)
      ? buckets.stocks.filter(({ bags }) => bags > allowed.reserveBags)
      : [];
  }

  /** What must be filled for some of a bath's `sinks`, and for what is left in stock; null: nothing is known. */
  private of(run: readonly Sink[], left: Sink | null): Batch | null {
    const { problem, buckets, allowed, spans } = this.columns;
    const { bath } = run[0]!;
    const wanted = left ? [...run, left] : run;
    const own = buckets.kinds
      .map((kind, k) => ({ kind, k }))
      .filter(({ kind }) => kind.baths.includes(bath) && kind.usable > 0);
    if (own.length === 0) return null;
    const size = commonDivisor(own.map(({ kind }) => kind.usable));
    const given = problem.lots
      .filter((lot) => lot.bath === bath)
      .map((lot) => {
        const served = wanted.filter((sink) => lotServes(lot, sink));
        return Math.min((lot.bags * lot.bagParts) / problem.bagParts, sum(served.map(({ bags }) => bags)));
      });
    // Less a little, so that a fraction that is off does not count as a whole set.
    const missing = left ? allowed!.reserveBags : 0;
    const sets = Math.ceil((sum(wanted.map(({ bags }) => bags)) - sum(given) - missing) / size - 1e-6);
    const within = spans.filter((t) => wanted.some((sink) => this.serving.get(sink)!.includes(t)));
    if (sets <= 0 || within.length === 0) return null;
    const after = Math.max(
      buckets.cuts[within[0]! - 1]!,
      Math.min(...wanted.map(({ endAfter }) => endAfter)),
    );
    return { bath, own, size, sets, within, after };
  }
}
