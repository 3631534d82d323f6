import type { Problem } from '../scenario/problem/types.ts';
import type { Scenario } from '../scenario/schema.ts';
import { countText } from '../words/numbers.ts';
import { roundText, whenText } from '../words/times.ts';
import type { EntryKind } from './entries.ts';
import { firstIndex } from './firstIndex.ts';
import { type Fact, type Folded, fold } from './fold.ts';
import type { Noted } from './journal.ts';
import { type Limits, limitsOf } from './limits.ts';
import {
  type Books,
  type Doubt,
  doubt,
  type MachineBook,
  type Outage,
  openBooks,
  type ReadingNoted,
  type SetUp,
  type TestNoted,
} from './state/books.ts';
import { lotArrived, lotJudged } from './state/lotFacts.ts';
import type { LotBook, LotState } from './state/lots.ts';
import { bagsOff, fillBegan, fillStopped, readingTaken, setUp } from './state/machines.ts';
import type { Recall, Waiting } from './state/recall.ts';
import { bagsLeft, dueNow, leftUnnoted, openingHangs, unnotedRounds } from './state/rounds.ts';
import { dutyDone, service, testEnded, type Unsure, unsureOf } from './state/water.ts';

/** What a machine is at, by the record. Minutes from the scenario's start. */
export interface UnderWay {
  readonly kind: 'circuit' | 'bath' | 'fill';
  readonly start: number;
  /** Of a fill its real window, from its real begin; of a set-up its end. */
  readonly earliestEnd: number;
  readonly latestEnd: number;
  readonly bath: string | null;
  /** Of a fill, the lot that it makes. */
  readonly lot: string | null;
  /** It runs on water or a machine in doubt: its bags are held as they come off. */
  readonly doubtful: boolean;
  /** A fill past its longest minute. */
  readonly overfull: boolean;
}
export interface MachineState {
  readonly id: string;
  /** The bath that runs; null: no circuit is in place, or a new one is being set up. */
  readonly bath: string | null;
  readonly circuitSince: number | null;
  /** The set-up in place, as noted; null: as loaded at the start, or none. */
  readonly setUp: SetUp | null;
  /** The circuit in place when what is under way began. */
  readonly circuitBefore: { readonly bath: string; readonly since: number } | null;
  readonly underWay: UnderWay | null;
  /** The swap of the last fill goes on until this minute; null: it is over, or something new has begun. */
  readonly swapUntil: number | null;
  readonly outOfService: boolean;
  /** Back in service, as far as it is known. */
  readonly outUntil: number | null;
  /** Its outages, its own and its water's, over and current. */
  readonly outages: readonly Outage[];
  /** The reading since which it is out of limits; null: it is not. Nothing fills here before a reading within limits or a new set-up. */
  readonly outOfLimits: string | null;
}
export interface WaterState {
  readonly id: string;
  readonly last: 'pass' | 'fail' | null;
  readonly lastEnd: number | null;
  /** That test passed, and may be void by now; null: it counts. */
  readonly unsure: Unsure | null;
  readonly outOfService: boolean;
  /** The one that goes on; null: it is in service. */
  readonly outage: Outage | null;
}
/** When the last test ended that water may be used by; null: there is none. */
export const testThatCounts = ({ last, lastEnd, unsure }: WaterState): number | null =>
  last === 'pass' && !unsure ? lastEnd : null;

/** What the record leaves at `now`: where a plan from now on begins. */
export interface State {
  readonly now: number;
  readonly limits: Limits;
  readonly machines: readonly MachineState[];
  readonly water: readonly WaterState[];
  /** Of stock, deliveries and fills whose bags are off, in this order. */
  readonly lots: readonly LotState[];
  /** Bags to be carried now, by the scenario's baths. */
  readonly dueNow: readonly number[];
  /** Rounds from this number on are still to leave. */
  readonly nextRound: number;
  /** Rounds of which it is noted that bags left; of a site that notes none, those whose time has come. */
  readonly roundsGone: readonly number[];
  /** Whether the site notes what leaves. */
  readonly notesRounds: boolean;
  /** Numbers of rounds that somebody must still say of whether they were carried: see `roundDeclared`. */
  readonly unnotedRounds: readonly number[];
  /**
   * The opening round counts as carried only because the site notes no bag rounds: nobody said so, and its bags are those
   * that hang now.
   */
  readonly openingAssumed: boolean;
  readonly recall: readonly Recall[];
  /** Bags carried and not hung yet. */
  readonly bedside: readonly Waiting[];
  readonly setUps: readonly SetUp[];
  readonly readings: readonly ReadingNoted[];
  readonly tests: readonly TestNoted[];
  readonly staff: Books['staff'];
  readonly duties: Books['duties'];
  readonly notes: Books['notes'];
  /** What does not fit, for a person to put right. */
  readonly doubts: readonly Doubt[];
  readonly folded: Folded;
}

/**
 * The state at minute `now`, from the scenario and what was noted. The order in which entries are read makes no
 * difference.
 * @param problem the scenario compiled, from its start
 * @param now minutes from the scenario's start
 */
export function stateOf(scenario: Scenario, problem: Problem, noted: readonly Noted[], now: number): State {
  const limits = limitsOf(scenario);
  const folded = fold(problem.clock, noted, now, problem.horizon);
  const books = openBooks(scenario, problem, limits, now);
  const leaves = folded.facts.flatMap(({ entry }) => (entry.kind === 'leave' ? entry : []));
  const notesRounds = leaves.some(({ declared }) => declared !== 'carried over');
  // Of a site that notes none, all that is noted was carried over.
  const over = new Set(leaves.map(({ round }) => round));
  const rounds = notesRounds ? [] : problem.rounds.filter(({ at, index }) => at <= now && !over.has(index));
  let nextRound = 0;
  const leaveBefore = (minute: number) => {
    for (; nextRound < rounds.length && rounds[nextRound]!.at < minute; nextRound++)
      leftUnnoted(books, rounds[nextRound]!);
  };
  for (const fact of folded.facts) {
    leaveBefore(fact.at);
    enter(books, fact);
  }
  leaveBefore(Number.POSITIVE_INFINITY);
  const unnoted = notesRounds ? unnotedRounds(books) : [];
  tellOdd(books, folded);
  for (const round of unnoted)
    doubt(
      books,
      null,
      `nobody noted what left with ${roundText(problem.clock, { round: round.index, at: round.at })}`,
      'what left, or that it was or was not carried. Until then its bags count as not carried and as still here',
    );
  const unsure = books.water.map((_, index) => unsureOf(books, index));
  for (const [index, one] of unsure.entries())
    if (one)
      doubt(
        books,
        null,
        `nobody noted the duty ${one.duty} of ${whenText(problem.clock, one.at)}: the last test of ${books.water[index]!.id} may be void`,
        'the duty noted as done, or a passed test. Until then nothing new is planned on the old test',
      );
  const due = dueNow(books);
  const lots = [...books.lots.values()];
  return {
    now,
    limits,
    machines: books.machines.map((machine) => machineState(books, machine)),
    water: books.water.map(({ id, last, lastEnd, out }, index) => ({
      id,
      last,
      lastEnd,
      unsure: unsure[index]!,
      outOfService: isOut(out, now),
      outage: isOut(out, now) ? out : null,
    })),
    lots: lots
      .filter(({ facts }) => facts.fill === null || facts.fill.end !== null)
      .map((lot) => lotState(books, lot)),
    dueNow: due.bags,
    nextRound: due.next,
    roundsGone: due.gone,
    notesRounds,
    openingAssumed: !notesRounds && folded.facts.length > 0 && openingHangs(books, over),
    unnotedRounds: unnoted.map(({ index }) => index),
    recall: due.recall,
    bedside: due.bedside,
    setUps: books.setUps,
    readings: books.readings,
    tests: books.tests,
    staff: books.staff,
    duties: books.duties,
    notes: books.notes,
    doubts: books.doubts,
    folded,
  };
}

/** What each kind of entry does to the books. */
const ENTER: Readonly<Record<EntryKind, (books: Books, fact: never) => void>> = {
  test: testEnded,
  circuit: setUp,
  bath: setUp,
  reading: readingTaken,
  fill: fillBegan,
  off: bagsOff,
  stop: fillStopped,
  hold: lotJudged,
  release: lotJudged,
  discard: lotJudged,
  count: lotJudged,
  leave: bagsLeft,
  arrive: lotArrived,
  out: service,
  back: service,
  staff: (books, { entry: { shift, date, technicians, names }, at }: Fact<'staff'>) =>
    books.staff.push({ shift, date, at, technicians, names: names ?? [] }),
  duty: dutyDone,
  note: (books, { entry: { id, by, text }, at }: Fact<'note'>) =>
    books.notes.push({ entry: id, at, by, text }),
  void: () => undefined,
};
const enter = (books: Books, fact: Fact): void =>
  (ENTER[fact.entry.kind] as (books: Books, fact: Fact) => void)(books, fact);

/** What a person should look at: entries that do not count, deliveries that nobody noted, rounds that nobody noted. */
function tellOdd(books: Books, folded: Folded): void {
  for (const fact of folded.untrusted)
    doubt(
      books,
      fact,
      `it was noted at ${fact.entry.noted}, which is still to come`,
      'a station whose clock is right. The entry does not count, but for bad news',
    );
  for (const fact of folded.elsewhere)
    doubt(
      books,
      fact,
      `it is of ${fact.entry.at}, outside this scenario`,
      'the record of this week; the entry does not count',
    );
  for (const { origin, id, ready, bags } of books.problem.lots) {
    if (origin !== 'delivery') continue;
    const { made } = books.lots.get(id)!.facts;
    if (!books.arrived.has(id)) {
      if (ready <= books.now)
        doubt(
          books,
          null,
          `the delivery ${id} is due, and nobody noted that it came`,
          'its arrival noted, or another time in the list. Its bags do not count',
        );
    } else if (made < bags)
      doubt(
        books,
        null,
        `${made} of ${countText(bags, 'bag')} of the delivery ${id} came`,
        'the others noted as they come; until then they do not count',
      );
  }
}

const isOut = (out: Outage | null, now: number): boolean => out !== null && (out.until ?? now + 1) > now;

function machineState(books: Books, machine: MachineBook): MachineState {
  const { problem, now } = books;
  const { shortest, longest, water } = problem.machines[machine.index]!;
  const source = books.water[water]!;
  const { underWay, circuit } = machine;
  const outs = [machine, source].flatMap(({ outages, out }) => [...outages, ...(out ? [out] : [])]);
  const current = [machine.out, source.out].filter((out) => isOut(out, now)) as Outage[];
  const fills = underWay?.kind === 'fill' ? underWay : null;
  // Whatever runs on the machine by now, the bags of before have come off.
  const swapEnd = machine.offAt === null || underWay ? null : machine.offAt + problem.rules.swapMinutes;
  const started: UnderWay | null = underWay && {
    kind: underWay.kind,
    start: underWay.start,
    earliestEnd: underWay.kind === 'fill' ? underWay.start + shortest : underWay.end,
    latestEnd: underWay.kind === 'fill' ? underWay.start + longest : underWay.end,
    bath: underWay.kind === 'fill' ? underWay.lot.facts.bath : underWay.setUp.bath,
    lot: fills?.lot.facts.lot ?? null,
    doubtful: fills ? fills.lot.isDoubtful : source.failed !== null,
    overfull: fills !== null && now > fills.start + longest,
  };
  const renewed = underWay?.kind === 'circuit';
  return {
    id: machine.id,
    bath: renewed ? null : (circuit?.bath ?? null),
    circuitSince: renewed ? null : (circuit?.since ?? null),
    setUp: renewed ? null : (circuit?.setUp ?? null),
    circuitBefore: circuit && { bath: circuit.bath, since: circuit.since },
    underWay: started,
    swapUntil: swapEnd !== null && swapEnd > now ? swapEnd : null,
    outOfService: current.length > 0,
    outUntil:
      current.length === 0 || current.some(({ until }) => until === null)
        ? null
        : Math.max(...current.map(({ until }) => until!)),
    outages: outs,
    outOfLimits: machine.bad?.entry ?? null,
  };
}

/** A lot, with when its bags may leave: after the time for release, the release and the test that the site demands. */
function lotState(books: Books, lot: LotBook): LotState {
  const state = lot.state();
  const { fill, releasedAt } = lot.facts;
  if (!fill) return state;
  const waits = [state.ready!];
  if (books.limits.releaseBy === 'entry') {
    if (releasedAt === null) return { ...state, ready: null };
    waits.push(releasedAt);
  }
  if (books.problem.rules.releaseAfterTest) {
    const { water } = books.problem.machines.find(({ id }) => id === fill.machine)!;
    const { testMinutes } = books.problem.water[water]!;
    const { passes } = books.water[water]!;
    const at = passes[firstIndex(passes, (minute) => minute - testMinutes >= fill.end!)];
    if (at === undefined) return { ...state, ready: null };
    waits.push(at);
  }
  return { ...state, ready: Math.max(...waits) };
}
