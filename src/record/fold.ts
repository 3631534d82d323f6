import type { Clock } from '../calendar/clock.ts';
import type { Entry, EntryKind } from './entries.ts';
import type { Noted } from './journal.ts';
import { beganAt, minuteOf } from './minuteOf.ts';

/** An entry that counts, with its minute from the scenario's start. */
export interface Fact<K extends EntryKind = EntryKind> {
  readonly entry: Extract<Entry, { kind: K }>;
  readonly at: number;
  /** UTC, ms since 1970. */
  readonly noted: number;
  /** False: noted later than now, by a station whose clock is wrong. Only bad news of it counts. */
  readonly trusted: boolean;
}

export interface Folded {
  /** What counts at `now`, in the order of facts: `at`, then `noted`, then `id`. */
  readonly facts: readonly Fact[];
  /** Noted later than `now`: shown, not trusted; those that bring bad news are among the facts all the same. */
  readonly untrusted: readonly Fact[];
  /** True for later than `now`. */
  readonly later: readonly Fact[];
  /** Of another week: long before the start or after the end. */
  readonly elsewhere: readonly Fact[];
}

/** Clocks of stations differ by so much, ms. */
const SKEW = 5 * 60_000;
/** What an entry may lie outside the scenario's time, min: a test or a circuit shortly before the start. */
const AROUND = 2 * 1440;

/**
 * The entries that count: each id once, without what a void takes back (a void that is itself void takes nothing back).
 * The order in which they were read makes no difference.
 * @param until UTC, ms: a void noted later, by a station whose clock is wrong, takes nothing back
 */
export function standing(noted: readonly Noted[], until = Number.POSITIVE_INFINITY): Entry[] {
  const byId = new Map<string, Entry>();
  for (const { entry } of noted) {
    const before = byId.get(entry.id);
    // Two with one id and other words are told as a fault; the same one of them counts in whatever order they are read.
    if (!before || JSON.stringify(entry) < JSON.stringify(before)) byId.set(entry.id, entry);
  }
  const voids = new Map<string, string[]>();
  for (const entry of byId.values())
    if (entry.kind === 'void' && Date.parse(entry.noted) <= until)
      if (!voids.get(entry.of)?.push(entry.id)) voids.set(entry.of, [entry.id]);
  if (voids.size === 0) return [...byId.values()];
  const known = new Map<string, boolean>();
  const counts = (id: string): boolean => {
    const before = known.get(id);
    if (before !== undefined) return before;
    known.set(id, false); // so that a ring of voids ends: which of them count is the same each time
    const own = !(voids.get(id) ?? []).sort().some(counts);
    known.set(id, own);
    return own;
  };
  // In one order, so that a ring of voids comes out the same however the files were read.
  for (const id of [...voids.keys()].sort()) counts(id);
  return [...byId.values()].filter(({ id }) => known.get(id) ?? true);
}

/** May bring bad news: taken even from a station whose clock is wrong. Of tests and readings only bad ones count then. */
const mayWarn = ({ kind }: Entry): boolean =>
  ['test', 'reading', 'hold', 'discard', 'stop', 'out'].includes(kind);

/** By time, by when it was noted, by id: what one station notes in one go stays in its order, also from its 9th to its 10th line. */
const order = (a: Fact, b: Fact): number =>
  a.at - b.at || a.noted - b.noted || compareIds(a.entry.id, b.entry.id);
function compareIds(a: string, b: string): number {
  const [left, right] = [a.lastIndexOf('/'), b.lastIndexOf('/')];
  const [one, other] = [a.slice(0, left), b.slice(0, right)];
  if (one !== other) return one < other ? -1 : 1;
  return Number(a.slice(left + 1)) - Number(b.slice(right + 1)) || (a < b ? -1 : a > b ? 1 : 0);
}

/**
 * What the record says at a minute.
 * @param now minutes from the scenario's start
 * @param horizon the scenario's length, min
 */
export function fold(clock: Clock, noted: readonly Noted[], now: number, horizon: number): Folded {
  const until = clock.epochOf(now) + SKEW;
  const facts: Fact[] = [];
  const untrusted: Fact[] = [];
  const later: Fact[] = [];
  const elsewhere: Fact[] = [];
  for (const entry of standing(noted, until)) {
    if (entry.kind === 'void') continue;
    const told = Date.parse(entry.noted);
    const trusted = told <= until;
    const at = minuteOf(clock, entry.at, entry.again ?? false);
    const fact = { entry, at, noted: told, trusted } as Fact;
    const early = fact.at < -AROUND || fact.at > horizon + AROUND;
    const begun =
      (entry.kind === 'circuit' || entry.kind === 'bath') && entry.began
        ? beganAt(clock, entry.began, entry.again ?? false, at)
        : fact.at;
    if (early) elsewhere.push(fact);
    else if (Math.min(begun, fact.at) > now) later.push(fact);
    else {
      if (!trusted) untrusted.push(fact);
      if (trusted || mayWarn(entry)) facts.push(fact);
    }
  }
  return {
    facts: facts.sort(order),
    untrusted: untrusted.sort(order),
    later: later.sort(order),
    elsewhere: elsewhere.sort(order),
  };
}
