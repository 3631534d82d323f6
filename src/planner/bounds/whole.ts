import type { Problem } from '../../scenario/problem/types.ts';
import { commonDivisor } from './branch.ts';
import { type Buckets, canServe, lotServes } from './buckets.ts';
import type { Allowed, Counted } from './counted.ts';
import { NONE, type Term } from './highs.ts';

/** What the search for a bound branches on first: totals of the horizon, then of its halves and quarters, then the rest. */
const ALL = 6;
const QUARTERS = ALL - 2;
export const EACH = 1;
/** Rows from which on a model is slow enough without those of few rounds. */
const LARGE = 2000;

const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0);

interface Size {
  readonly many: number;
  readonly byKind: boolean;
}

/**
 * Rows that only whole numbers justify.
 * @param size no count in a plan is above `many`; `byKind`: what brings a bath on is whole for each kind by itself
 */
export function wholeRows(
  problem: Problem,
  buckets: Buckets,
  counted: Counted,
  allowed: Allowed | null,
  size: Size,
): void {
  if (allowed) wholeSetRows(problem, buckets, counted, allowed);
  wholeTotals(problem, buckets, counted, size);
}

/**
 * Bags are made in whole sets: those of a bath add up to a multiple of the divisor of all sizes of sets, also those of
 * the buckets that can serve one round or a few. Only where nothing may be short but what nothing can serve is it known
 * what they must add up to: all that is wanted, less what lots could give at most.
 */
function wholeSetRows(
  problem: Problem,
  buckets: Buckets,
  { model, kinds: columns }: Counted,
  { unmetBags, reserveBags }: Allowed,
): void {
  const { kinds, cuts } = buckets;
  const serving = new Map(
    buckets.sinks.map((sink) => [
      sink,
      cuts.flatMap((_, t) => (t > 0 && canServe(buckets, t, sink) ? [t] : [])),
    ]),
  );
  const lotsOf = (bath: number) => problem.lots.filter((lot) => lot.bath === bath);
  const reached = buckets.sinks.filter(
    (sink) => serving.get(sink)!.length > 0 || lotsOf(sink.bath).some((lot) => lotServes(lot, sink)),
  );
  const lost = buckets.sinks.filter((sink) => sink.round !== null && !reached.includes(sink));
  if (unmetBags > sum(lost.map(({ bags }) => bags)) + 1e-6) return;
  const large = model.rowLower.length > LARGE;
  for (const bath of problem.baths.keys()) {
    const own = kinds.map((kind, k) => ({ kind, k })).filter(({ kind }) => kind.baths.includes(bath));
    const sinks = reached.filter((sink) => sink.bath === bath && (sink.round !== null || reserveBags === 0));
    const size = commonDivisor(own.map(({ kind }) => kind.positions));
    if (own.length === 0) continue;
    // Of all; and of those from the first round on, of each and of two in a row: what serves others is looser.
    const groups = large
      ? [sinks]
      : [
          ...sinks.map((_, n) => sinks.slice(0, n + 1)),
          ...sinks
            .slice(1)
            .flatMap((sink, n, rest) => (n + 1 < rest.length ? [[sink], rest.slice(n, n + 2)] : [[sink]])),
        ];
    for (const wanted of groups) {
      const given = lotsOf(bath).map((lot) => {
        const served = wanted.filter((sink) => lotServes(lot, sink));
        return Math.min((lot.bags * lot.bagParts) / problem.bagParts, sum(served.map(({ bags }) => bags)));
      });
      // Less a little, so that a fraction that is off does not count as a whole set.
      const sets = Math.ceil((sum(wanted.map(({ bags }) => bags)) - sum(given)) / size - 1e-6);
      const within = [...new Set(wanted.flatMap((sink) => serving.get(sink)!))];
      if (sets <= 0 || within.length === 0) continue;
      model.row(
        sets,
        NONE,
        own.flatMap(({ kind: { positions }, k }) =>
          within.map((t): Term => [columns[k]![t]!.fills[bath]!, positions / size]),
        ),
      );
    }
  }
}

/**
 * Whole numbers where they tell most: in totals, over the horizon and over halves and quarters of it. They cannot be
 * evaded by doing a little more in the next bucket, and there are few of them: whole numbers in each bucket would be
 * true as well, but a search then spends its time on when things are done instead of how often.
 */
function wholeTotals(
  problem: Problem,
  { cuts, kinds }: Buckets,
  { model, kinds: columns, tests }: Counted,
  { many, byKind }: Size,
): void {
  const last = cuts.length - 1;
  const spans = Array.from({ length: last }, (_, index) => index + 1);
  const total = (terms: Term[], urgency: number) => {
    if (terms.length > 0) model.row(0, 0, [...terms, [model.column(0, 0, many, urgency), -1]]);
  };
  /** Split where nobody is on shift, down to each stretch with somebody; where there is always somebody, in quarters. */
  const parts = (from: number, to: number, urgency: number, terms: (t: number) => Term[]): void => {
    total(spans.slice(from - 1, to).flatMap(terms), urgency);
    const middle = (from + to) / 2;
    const inside = spans.slice(from - 1, to - 1).sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle));
    const still = inside.find((t) => problem.staff[cuts[t]!] === 0);
    const at = still ?? (to - from < 2 || urgency <= QUARTERS ? undefined : Math.floor(middle));
    if (at === undefined || urgency <= EACH + 1) return;
    parts(from, at, urgency - 1, terms);
    parts(at + 1, to, urgency - 1, terms);
  };
  for (const byBucket of tests) parts(1, last, ALL, (t) => [[byBucket[t]!, 1]]);
  kinds.forEach(({ baths }, k) => {
    const each = (of: 'fills' | 'circuits' | 'changes') => (t: number) =>
      baths.map((bath): Term => [columns[k]![t]![of][bath]!, 1]);
    parts(1, last, ALL, each('circuits'));
    total(spans.flatMap(each('fills')), ALL);
    total(spans.flatMap(each('changes')), ALL);
  });
  for (const bath of problem.baths.keys()) {
    const made = kinds.map((kind, k) =>
      kind.baths.includes(bath) ? spans.map((t): Term => [columns[k]![t]!.fills[bath]!, 1]) : [],
    );
    total(made.flat(), ALL);
    for (const own of made) total(own, EACH);
    // Half a circuit for each of two baths is no circuit: what brings a bath on comes in whole ones too.
    const brought = kinds.map(({ baths }, k) =>
      baths.includes(bath)
        ? spans.flatMap((t): Term[] => [
            [columns[k]![t]!.circuits[bath]!, 1],
            [columns[k]![t]!.changes[bath]!, 1],
          ])
        : [],
    );
    for (const terms of byKind ? brought : [brought.flat()]) total(terms, EACH);
  }
}
