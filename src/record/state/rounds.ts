import { type Hang, hangsOf } from '../../demand/demand.ts';
import { courseOf } from '../../scenario/problem/course.ts';
import type { Round } from '../../scenario/problem/types.ts';
import { firstIndex } from '../firstIndex.ts';
import type { Fact } from '../fold.ts';
import { minuteOf } from '../minuteOf.ts';
import { type Books, doubt } from './books.ts';
import { bedside, calledBack, type Recall, type Waiting } from './recall.ts';

/** The round that an entry names, by number or local time; as typed where there is none. */
function roundOf({ problem }: Books, named: number | string): number | string {
  if (typeof named === 'number') return named;
  const at = minuteOf(problem.clock, named);
  const after = firstIndex(problem.rounds, (round) => round.at > at);
  const round = problem.rounds[after - 1];
  return round?.at === at ? round.index : named;
}

/** Bags left for the bedside. */
export function bagsLeft(books: Books, fact: Fact<'leave'>): void {
  const { entry, at } = fact;
  const round = roundOf(books, entry.round);
  if (typeof round === 'string' || round >= books.problem.rounds.length)
    doubt(
      books,
      fact,
      `there is no bag round ${entry.round}`,
      'the number or the local time of a bag round; the bags count as left',
    );
  const declared = books.problem.rounds[round as number];
  if (entry.declared === 'carried' && entry.loads.length === 0 && declared)
    leftUnnoted(books, declared, entry.id);
  for (const { lot: name, bath, bags, ward, bed } of entry.loads) {
    const lot = books.lots.get(name);
    const known = lot?.facts.bath ?? bath ?? null;
    const litres = lot?.facts.litres ?? books.problem.rules.fillLitres;
    if (!lot)
      doubt(
        books,
        fact,
        `no lot is called ${name}; ${bags} bags of it left`,
        'a lot of stock, a delivery or a fill',
      );
    else {
      if (bags > lot.here)
        doubt(
          books,
          fact,
          `${bags} bags of ${name} left, and ${lot.here} were there`,
          'at most the bags that are there; count them',
        );
      else if (bags > lot.good)
        doubt(
          books,
          fact,
          `bags of ${name} left that were on hold`,
          'bags on hold stay. Bring them back, see the recall list',
        );
      if (bath && lot.facts.bath && bath !== lot.facts.bath)
        doubt(books, fact, `${name} is ${lot.facts.bath}, and left as ${bath}`, lot.facts.bath);
      lot.leave({ entry: entry.id, round, at, bags, ...(ward ? { ward } : {}), ...(bed ? { bed } : {}) });
    }
    // Also of a bath that nobody knows: they left, and may have to come back.
    books.leaves.push({
      round,
      at,
      bath: known ?? '',
      parts: Math.round(bags * litres * books.problem.partsPerLitre),
      bags,
      lot: lot ? name : null,
      ...(ward ? { ward } : {}),
      ...(bed ? { bed } : {}),
    });
  }
  if (entry.loads.length === 0) books.leaves.push({ round, at, bath: '', parts: 0, bags: 0, lot: null });
}

/**
 * Bags that a round needed, by bath, as far as it was prescribed when it left: a change of a prescription that begins
 * after the round was not known then, unless its `noted` (the local time at which it was typed) says so.
 */
function neededThen(books: Books, round: Round): number[] {
  const { problem, scenario, demand } = books;
  const { clock } = problem;
  const bags = problem.baths.map(() => 0);
  scenario.patients.forEach((row, index) => {
    const late = (row.changes ?? []).filter((change) => {
      const typed = typeof change.noted === 'string' ? minuteOf(clock, change.noted) : null;
      return (typed ?? minuteOf(clock, change.at)) > round.at;
    });
    const hangs = late.length === 0 ? demand.hangs[index]! : hangsWithout(books, index, late);
    const first = firstIndex(hangs, ({ minute }) => minute >= round.from);
    for (let n = first; n < hangs.length && hangs[n]!.minute < round.to; n++) bags[hangs[n]!.bath]! += 1;
  });
  return bags;
}

/** What a patient would have hung without the changes later than some time: as many of them are the same ones. */
function hangsWithout(books: Books, patient: number, late: readonly unknown[]): readonly Hang[] {
  const key = `${patient} ${late.length}`;
  const before = books.hangs.get(key);
  if (before) return before;
  const { clock, rules, horizon, baths } = books.problem;
  const row = books.scenario.patients[patient]!;
  const changes = row.changes!.filter((change) => !late.includes(change));
  const course = courseOf(
    { ...row, changes },
    {
      clock,
      bathNumber: new Map(baths.map((id, index) => [id, index])),
      horizon,
      doseMeans: rules.doseMeans,
    },
  );
  const hangs = hangsOf(course, rules.bagMl, rules.maxHang, horizon);
  books.hangs.set(key, hangs);
  return hangs;
}

/**
 * Where nobody noted the loads of a round that left: they are taken from the lots as the plan would, the first to expire
 * first.
 * @param entry that declares it; null: the site notes no rounds
 */
export function leftUnnoted(books: Books, round: Round, entry: string | null = null): void {
  const { problem, shelf, arrived } = books;
  const far = (minute: number | null) => minute ?? Number.POSITIVE_INFINITY;
  // A lot that expires before this round's bags hang serves no later one; a delivery is known when it has come.
  for (const lot of shelf)
    if (far(lot.facts.expires) < round.to && (lot.facts.origin !== 'delivery' || arrived.has(lot.facts.lot)))
      shelf.delete(lot);
  neededThen(books, round).forEach((bags, bath) => {
    const id = problem.baths[bath]!;
    let wanted = bags * problem.bagParts;
    const mine = [...shelf]
      .filter(
        ({ facts }) => facts.bath === id && isReady(books, facts, round.at) && far(facts.expires) >= round.to,
      )
      .sort((a, b) => far(a.facts.expires) - far(b.facts.expires) || far(a.facts.ready) - far(b.facts.ready));
    for (const lot of mine) {
      const size = Math.round(lot.facts.litres * problem.partsPerLitre);
      const taken = Math.min(lot.good, Math.ceil(wanted / size));
      if (taken <= 0) continue;
      lot.leave({ entry, round: round.index, at: round.at, bags: taken });
      books.leaves.push({
        round: round.index,
        at: round.at,
        bath: id,
        parts: taken * size,
        bags: taken,
        lot: lot.facts.lot,
      });
      wanted -= taken * size;
    }
  });
}

/** Whether a lot's bags might leave at a minute, released as the site demands. */
function isReady(
  { limits }: Books,
  facts: { readonly ready: number | null; readonly origin: string; readonly releasedAt: number | null },
  at: number,
): boolean {
  if (facts.ready === null || facts.ready > at) return false;
  return limits.releaseBy === 'time' || facts.origin !== 'fill' || (facts.releasedAt ?? at + 1) <= at;
}

/**
 * Rounds of which nobody noted what left, on a site that notes rounds, though a later one left or their time is over: the
 * opening one, say. Until somebody says so, their bags count as not carried, and as still here.
 */
export function unnotedRounds(books: Books): Round[] {
  const { problem, now, leaves } = books;
  const left = new Set(leaves.map(({ round }) => round));
  const last = Math.max(-1, ...[...left].filter((round) => typeof round === 'number'));
  return problem.rounds.filter(
    (round) =>
      round.at <= now &&
      !left.has(round.index) &&
      (round.to <= now || round.index < last) &&
      neededThen(books, round).some((bags) => bags > 0),
  );
}

/** Whether bags of the opening round hang now, or are to, and no entry names it. @param noted rounds that are noted */
export function openingHangs(books: Books, noted: ReadonlySet<number | string>): boolean {
  const opening = books.problem.rounds[0]!;
  return (
    opening.at <= books.now &&
    books.now < opening.to &&
    !noted.has(opening.index) &&
    neededThen(books, opening).some((bags) => bags > 0)
  );
}

/** What the rounds until now leave to be carried. */
export interface Due {
  readonly recall: readonly Recall[];
  readonly bedside: readonly Waiting[];
  /** Bags, by bath, that must be carried now. */
  readonly bags: readonly number[];
  /** Rounds before this one are gone: they left, or their time has come. */
  readonly next: number;
  /** Numbers of rounds that left. */
  readonly gone: readonly number[];
}

/**
 * Bags due now: those hung in what the last round covers and still to be hung from now on, less what was carried for them
 * and not yet hung.
 */
export function dueNow(books: Books): Due {
  const { problem, now, demand } = books;
  const { rounds, baths, bagParts } = problem;
  const left = new Set(books.leaves.map(({ round }) => round));
  const gone = rounds.filter(({ index, at }) => at <= now || left.has(index));
  const last = gone.at(-1);
  if (!last)
    return {
      bags: baths.map(() => 0),
      next: 0,
      gone: [],
      recall: calledBack(books, new Set()).recall,
      bedside: [],
    };
  const first = rounds.find(({ to }) => to > now)?.from ?? last.to;
  const covered = new Set(gone.filter(({ to }) => to > now).map(({ index }) => index));
  const hung = baths.map(() => 0);
  const open = baths.map(() => 0);
  for (const list of demand.hangs)
    for (const { bath, minute } of list) {
      if (minute >= first && minute < now) hung[bath]! += 1;
      else if (minute >= now && minute < last.to) open[bath]! += 1;
    }
  // Bags that are called back are not at the bedside: others are carried in their place, also for those that hang.
  const back = calledBack(books, covered);
  const bags = baths.map((id, bath) => {
    const carried = books.leaves
      .filter((one) => one.bath === id && covered.has(one.round as number))
      .reduce((sum, { parts }) => sum + parts, 0);
    const there = Math.max(0, carried - hung[bath]! * bagParts - back.gone[bath]!);
    return Math.ceil(Math.max(0, (open[bath]! + back.missing[bath]!) * bagParts - there) / bagParts);
  });
  return {
    bags,
    next: last.index + 1,
    gone: gone.map(({ index }) => index),
    recall: back.recall,
    bedside: bedside(books, covered),
  };
}
