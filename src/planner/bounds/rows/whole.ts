import { Batches } from '../batches.ts';
import { type Columns, EACH } from '../columns.ts';
import type { Term } from '../model.ts';
import { setRows } from './sets.ts';
import { setUpRows } from './setUps.ts';

/** What the search for a bound branches on first: totals of the horizon, then of its halves and quarters, then the rest. */
const ALL = 6;
const QUARTERS = ALL - 2;
/**
 * Rows that only whole numbers justify.
 * @param byKind what brings a bath on is whole for each kind by itself
 */
export function wholeRows(columns: Columns, byKind: boolean): void {
  const batches = new Batches(columns);
  setRows(columns, batches);
  setUpRows(columns, batches);
  wholeTotals(columns, byKind);
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
