import type { Demand } from '../../demand/demand.ts';
import { MINUTES_A_DAY, type Problem, type Span } from '../../scenario/problem/types.ts';
import { linesOf } from '../schedule/lines.ts';
import { plainTemper } from '../schedule/temper.ts';
import { chanceOf } from './chance.ts';
import { Turn } from './moves/turn.ts';
import { type Heat, Search } from './search.ts';

/** Begins of hours that are tried lie so many minutes apart, the first by chance at a multiple of the finer one: of several searches not all try the same. */
const STEP = 180;
const FINE = 60;
/** Hours come again after so many lives of a circuit at most. */
const LIVES = 3;
/** Hours longer than this share of the time after which they come again are hardly a rest. */
const OPEN = 0.8;
/** Beside circuits and tests, min: what a set-up or a swap waits for hands. */
const SPARE = 30;
/** How soon the rule of thumb changes baths, min. */
const PATIENCE = [120, 480];
/** Sorts of machines of which one may work at other hours than the rest. */
const MOST_SORTS = 3;

/** Then as many of the cheapest as said are searched on within their hours, and the last ones without. Tries are for `TRIES` of a search. */
const TRIES = 45_000;
const HEATS = [
  { kept: 60, tries: 300 },
  { kept: 12, tries: 2500 },
];
const FREE = { kept: 3, tries: 10_000 };
const WITHIN = { hot: 6, cold: 0.5, litre: 2, litreTo: 100 };
const BEYOND = { hot: 4, cold: 0.5, litre: 5, litreTo: 100 };
/** What the rule of thumb in some hours takes, in tries. */
const THUMB = 60;
/** Tries of a search below which there is no time for it. */
const LEAST_TRIES = 10_000;

/** Hours in which machines work, again and again; one machine may be there all the time, or never. */
interface Hours {
  readonly every: number;
  readonly from: number;
  readonly length: number;
  readonly other: { readonly m: number; readonly there: boolean } | null;
}

/** Machines that the need keeps busy for more than this share of their time hardly ever rest together. */
const BUSY = 0.45;

/**
 * Whether hours for all machines are worth their time: bags and circuits last short, machines rest more than they run, and
 * there are tries enough.
 */
export const worthCommonHours = (problem: Problem, demand: Demand, tries: number): boolean =>
  tries >= LEAST_TRIES &&
  problem.machines.length > 0 &&
  new Turn(problem, chanceOf(1)).shortLived &&
  busyShare(problem, demand) <= BUSY;

/** Share of the machines' time that filling all that is needed takes, at least. */
function busyShare({ machines, rules }: Problem, demand: Demand): number {
  const bags = demand.bags.flat().reduce((sum, of) => sum + of, 0);
  const most = machines.reduce((sum, { windows, usable, shortest }) => {
    const minutes = windows.reduce((all, { from, to }) => all + to - from, 0);
    return sum + (minutes * usable) / (shortest + rules.swapMinutes);
  }, 0);
  return most > 0 ? bags / most : Number.POSITIVE_INFINITY;
}

/**
 * Where bags and circuits last short: the same hours for all machines, or all but one, again and again, as long as some
 * tests and circuits last. Machines that rest together need no tests and leave no circuit half used, and a search in
 * steps of one rest each seldom comes there. What the rule of thumb makes in such hours cheapest is searched on within
 * them, and the best of it without. The search keeps what is best. Yields the share done now and then.
 * @param tries of the whole search that this is the beginning of
 */
export function* commonHours(
  search: Search,
  problem: Problem,
  demand: Demand,
  { seed, tries }: { readonly seed: number; readonly tries: number },
): Generator<number> {
  const heat = (of: number, manner: Omit<Heat, 'tries'>): Heat => ({
    ...manner,
    tries: Math.round((of * tries) / TRIES),
  });
  const chance = chanceOf(seed);
  const all = [...hoursOf(problem, FINE * chance.below(STEP / FINE))];
  const heats = [...HEATS, FREE].map(({ kept, tries: own }) => kept * own);
  const total = all.length * THUMB + heats.reduce((sum, own) => sum + own, 0);
  let work = 0;
  /** An annealing that is so much of the work: yields the share done of all. */
  function* part(steps: Generator<number>, own: number): Generator<number> {
    for (const done of steps) yield (work + done * own) / total;
    work += own;
  }
  let open: Search[] = [];
  for (const hours of all) {
    const begun = begunIn(problem, demand, hours);
    if (begun) open = cheapest([...open, begun], HEATS[0]!.kept);
    work += THUMB;
    yield work / total;
  }
  for (const { kept, tries: own } of HEATS) {
    open = cheapest(open, kept);
    for (const one of open) yield* part(one.anneal(one.promising!, chance, heat(own, WITHIN)), own);
  }
  for (const one of cheapest(open, FREE.kept)) {
    const lines = linesOf(problem, one.activities(), 0);
    search.consider(lines);
    yield* part(search.anneal(lines, chance, heat(FREE.tries, BEYOND)), FREE.tries);
  }
}

/** The searches that need least so far, the first of equal ones. */
const cheapest = (open: readonly Search[], many: number): Search[] =>
  [...open].sort((a, b) => a.least - b.least).slice(0, many);

/** What the rule of thumb makes in such hours; null where it makes nothing. */
function begunIn(problem: Problem, demand: Demand, hours: Hours): Search | null {
  const open = openIn(problem, hours);
  const search = new Search(open, demand);
  for (const patience of PATIENCE) search.construct(plainTemper(open, patience));
  return search.promising ? search : null;
}

/** All hours that are tried, in the order of time and length. @param first begin of the first ones, min */
export function* hoursOf(problem: Problem, first: number): Generator<Hours> {
  const { rules, water } = problem;
  const test = Math.min(...water.map(({ testEvery }) => testEvery + 1));
  const lengths = [
    2 * test,
    ...[0, 1, 2].map((n) => rules.circuitLife + n * test),
    2 * rules.circuitLife,
  ].map((length) => length + SPARE);
  for (const every of timesBetween(problem))
    for (const length of lengths) {
      if (length > OPEN * every) continue;
      for (let from = first; from < every; from += STEP)
        for (const other of othersOf(problem)) yield { every, from, length, other };
    }
}

/** Whole numbers of the time from one bag round to the next, from about one circuit's life to a few. */
function timesBetween({ rounds, rules }: Problem): number[] {
  const apart = rounds
    .slice(2)
    .map(({ at }, n) => at - rounds[n + 1]!.at)
    .sort((a, b) => a - b);
  const gap = apart[apart.length >> 1] ?? MINUTES_A_DAY;
  const most = Math.floor((LIVES * rules.circuitLife) / gap);
  return Array.from({ length: most }, (_, n) => (n + 1) * gap).filter((every) => every >= rules.circuitLife);
}

/** None, or the last machine of each sort, always there or never. */
function othersOf({ machines }: Problem): Hours['other'][] {
  const sorts = new Map(
    machines.map(({ flow, positions, baths, water }, m) => [
      JSON.stringify([flow, positions, baths, water]),
      m,
    ]),
  );
  if (machines.length < 2 || sorts.size > MOST_SORTS) return [null];
  return [null, ...[...sorts.values()].flatMap((m) => [true, false].map((there) => ({ m, there })))];
}

/** The problem with machines there in such hours only. */
function openIn(problem: Problem, { every, from, length, other }: Hours): Problem {
  const cut = (windows: readonly Span[]): Span[] =>
    Array.from({ length: Math.ceil(problem.horizon / every) + 1 }, (_, n) => from + (n - 1) * every)
      .flatMap((begin) =>
        windows.map((one) => ({ from: Math.max(one.from, begin), to: Math.min(one.to, begin + length) })),
      )
      .filter((one) => one.from < one.to);
  const windowsOf = (windows: readonly Span[], m: number): readonly Span[] => {
    if (other?.m !== m) return cut(windows);
    return other.there ? windows : [];
  };
  const machines = problem.machines.map((one, m) => ({ ...one, windows: windowsOf(one.windows, m) }));
  return { ...problem, machines };
}
