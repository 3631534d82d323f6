import { canServe } from '../buckets.ts';
import { type Columns, EACH } from '../columns.ts';
import { NONE, type Term } from '../model.ts';
import { commonDivisor } from '../multiples.ts';
import { lotServes, type Sink } from '../sinks.ts';

/** What the search for a bound branches on first: totals of the horizon, then of its halves and quarters, then the rest. */
const ALL = 6;
const QUARTERS = ALL - 2;
/** Rows from which on a model is slow enough without those of few rounds. */
const LARGE = 2000;

const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0);

/**
 * Rows that only whole numbers justify.
 * @param byKind what brings a bath on is whole for each kind by itself
 */
export function wholeRows(columns: Columns, byKind: boolean): void {
  wholeSetRows(columns);
  wholeTotals(columns, byKind);
}

/**
 * Bags are made in whole sets: those of a bath add up to a multiple of the divisor of all sizes of sets, also those of
 * the buckets that can serve one round or a few. Only where nothing may be short but what nothing can serve is it known
 * what they must add up to: all that is wanted, less what lots could give at most.
 */
function wholeSetRows(columns: Columns): void {
  const { problem, buckets, model, allowed, spans } = columns;
  if (!allowed) return;
  const serving = new Map(
    buckets.sinks.map((sink) => [sink, spans.filter((t) => canServe(buckets, t, sink))]),
  );
  const reached = buckets.sinks.filter(
    (sink) =>
      serving.get(sink)!.length > 0 ||
      problem.lots.some((lot) => lot.bath === sink.bath && lotServes(lot, sink)),
  );
  const lost = buckets.sinks.filter((sink) => sink.round !== null && !reached.includes(sink));
  if (allowed.unmetBags > sum(lost.map(({ bags }) => bags)) + 1e-6) return;
  const large = model.rowLower.length > LARGE;
  for (const bath of problem.baths.keys()) {
    const sinks = reached.filter(
      (sink) => sink.bath === bath && (sink.round !== null || allowed.reserveBags === 0),
    );
    for (const wanted of large ? [sinks] : groupsOf(sinks)) setsFor(columns, bath, wanted, serving);
  }
}

/** All up to each one; and of those from the first round on, each and each two in a row: what serves others is looser. */
const groupsOf = (sinks: readonly Sink[]): Sink[][] => [
  ...sinks.map((_, n) => sinks.slice(0, n + 1)),
  ...sinks
    .slice(1)
    .flatMap((sink, n, rest) => (n + 1 < rest.length ? [[sink], rest.slice(n, n + 2)] : [[sink]])),
];

/** So many whole sets of a bath at least for some of those who want it. */
function setsFor(
  { problem, buckets, model, kinds }: Columns,
  bath: number,
  wanted: readonly Sink[],
  serving: ReadonlyMap<Sink, readonly number[]>,
): void {
  const own = buckets.kinds
    .map((kind, k) => ({ kind, k }))
    .filter(({ kind }) => kind.baths.includes(bath) && kind.usable > 0);
  if (own.length === 0) return;
  const size = commonDivisor(own.map(({ kind }) => kind.usable));
  const given = problem.lots
    .filter((lot) => lot.bath === bath)
    .map((lot) => {
      const served = wanted.filter((sink) => lotServes(lot, sink));
      return Math.min((lot.bags * lot.bagParts) / problem.bagParts, sum(served.map(({ bags }) => bags)));
    });
  // Less a little, so that a fraction that is off does not count as a whole set.
  const sets = Math.ceil((sum(wanted.map(({ bags }) => bags)) - sum(given)) / size - 1e-6);
  const within = [...new Set(wanted.flatMap((sink) => serving.get(sink)!))];
  if (sets <= 0 || within.length === 0) return;
  model.row(
    sets,
    NONE,
    own.flatMap(({ kind: { usable }, k }) =>
      within.map((t): Term => [kinds[k]![t]!.fills[bath]!, usable / size]),
    ),
  );
}

/**
 * Whole numbers where they tell most: in totals, over the horizon and over halves and quarters of it. They cannot be
 * evaded by doing a little more in the next bucket, and there are few of them: whole numbers in each bucket would be
 * true as well, but a search then spends its time on when things are done instead of how often.
 */
function wholeTotals(columns: Columns, byKind: boolean): void {
  const { problem, buckets, spans } = columns;
  const last = spans.length;
  for (const byBucket of columns.tests)
    wholeInParts(columns, { from: 1, to: last, urgency: ALL }, (t) => [[byBucket[t]!, 1]]);
  buckets.kinds.forEach(({ baths }, k) => {
    const each = (of: 'fills' | 'circuits' | 'changes') => (t: number) =>
      baths.map((bath): Term => [columns.kinds[k]![t]![of][bath]!, 1]);
    wholeInParts(columns, { from: 1, to: last, urgency: ALL }, each('circuits'));
    whole(columns, spans.flatMap(each('fills')), ALL);
    whole(columns, spans.flatMap(each('changes')), ALL);
  });
  for (const bath of problem.baths.keys()) wholeOfBath(columns, bath, byKind);
}

/** Fills of a bath, and what brings it on, are whole numbers. */
function wholeOfBath(columns: Columns, bath: number, byKind: boolean): void {
  const { buckets, spans, kinds } = columns;
  const termsOf = (...work: ('fills' | 'circuits' | 'changes')[]) =>
    buckets.kinds.map(({ baths }, k) =>
      baths.includes(bath) ? spans.flatMap((t) => work.map((of): Term => [kinds[k]![t]![of][bath]!, 1])) : [],
    );
  const made = termsOf('fills');
  whole(columns, made.flat(), ALL);
  for (const own of made) whole(columns, own, EACH);
  // Half a circuit for each of two baths is no circuit: what brings a bath on comes in whole ones too.
  const brought = termsOf('circuits', 'changes');
  for (const terms of byKind ? brought : [brought.flat()]) whole(columns, terms, EACH);
}

function whole({ model, many }: Columns, terms: readonly Term[], urgency: number): void {
  if (terms.length > 0) model.row(0, 0, [...terms, [model.column(0, 0, many, urgency), -1]]);
}

/** Buckets from..to, and how soon a search branches on their total. */
interface Part {
  readonly from: number;
  readonly to: number;
  readonly urgency: number;
}

/** Split where nobody is on shift, down to each stretch with somebody; where there is always somebody, in quarters. */
function wholeInParts(columns: Columns, { from, to, urgency }: Part, terms: (t: number) => Term[]): void {
  const { problem, buckets, spans } = columns;
  whole(columns, spans.slice(from - 1, to).flatMap(terms), urgency);
  const middle = (from + to) / 2;
  const inside = spans.slice(from - 1, to - 1).sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle));
  const still = inside.find((t) => problem.staff[buckets.cuts[t]!] === 0);
  const at = still ?? (to - from < 2 || urgency <= QUARTERS ? undefined : Math.floor(middle));
  if (at === undefined || urgency <= EACH + 1) return;
  wholeInParts(columns, { from, to: at, urgency: urgency - 1 }, terms);
  wholeInParts(columns, { from: at + 1, to, urgency: urgency - 1 }, terms);
}
