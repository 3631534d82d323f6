import { chanceOf } from '../capacity/draws/random.ts';
import type { Demand } from '../demand/demand.ts';
import { cover, lotsOfFills } from '../plan/cover.ts';
import type { Activity } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import type { Delay } from './day.ts';
import { play } from './play.ts';
import type { Variation } from './variation.ts';

/** A plan as it is put to the test. */
export interface Tried {
  readonly problem: Problem;
  readonly demand: Demand;
  readonly activities: readonly Activity[];
  /** min; rounds that leave later are not asked about. */
  readonly until: number;
}

/** How often, of so many days like no other, a plan held. */
export interface Held {
  readonly runs: number;
  /** Of each bag round with a need, in how many runs it was served in full. */
  readonly rounds: readonly { readonly round: number; readonly full: number }[];
  /** Runs in which every one of these was. */
  readonly all: number;
}

/** Litres that each round goes short of, where a plan is played once. */
function shortOf({ problem, demand, until }: Tried, done: readonly Activity[]): number[] {
  const { unmet } = cover(problem, demand, lotsOfFills(problem, done));
  return problem.rounds.map(({ at }, round) =>
    at > until ? 0 : unmet.reduce((sum, byRound) => sum + byRound[round]! / problem.partsPerLitre, 0),
  );
}

/**
 * Plays a plan again and again, each time on another day; the same seed and numbers give the same days.
 * @param from number of the first day, so that several threads can share them
 */
export function playMany(
  tried: Tried,
  variation: Variation,
  { runs, seed, from = 0 }: { readonly runs: number; readonly seed: number; readonly from?: number },
): Held {
  const { problem, activities, until } = tried;
  const days = Array.from({ length: runs }, (_, run) => {
    const chance = chanceOf(seed, from + run, STREAM);
    return play(problem, activities, { variation, chance }, { until }).done;
  });
  return servedOf(tried, days);
}
/** A stream of random numbers that nothing else draws from. */
export const STREAM = 7_000_000;

/** On how many of these days, each by what was done, the rounds were served in full. */
export function servedOf(tried: Tried, days: readonly (readonly Activity[])[]): Held {
  const { problem, demand, until } = tried;
  const needed = problem.rounds.map(
    ({ at }, round) => at <= until && demand.bags.some((byRound) => byRound[round]! > 0),
  );
  const full = problem.rounds.map(() => 0);
  let all = 0;
  for (const done of days) {
    const short = shortOf(tried, done);
    short.forEach((unmet, round) => {
      if (unmet < 1e-9) full[round]! += 1;
    });
    if (short.every((unmet) => unmet < 1e-9)) all += 1;
  }
  return {
    runs: days.length,
    rounds: full.flatMap((count, round) => (needed[round] ? [{ round, full: count }] : [])),
    all,
  };
}
/** What two threads found, of the same plan on other days. */
export function together(a: Held, b: Held): Held {
  return {
    runs: a.runs + b.runs,
    rounds: a.rounds.map(({ round, full }, index) => ({ round, full: full + b.rounds[index]!.full })),
    all: a.all + b.all,
  };
}

/** What it costs when one task alone begins late. */
export interface Harm {
  /** The activity's number in the plan. */
  readonly index: number;
  /** L short in all, over what the plan leaves short when nothing is late. */
  readonly litres: number;
}

/**
 * The tasks that hurt most when they alone begin late, worst first; all others follow as soon as they may. Swaps come
 * with their fills.
 * @param by min
 */
export function harmOf(tried: Tried, by: number): Harm[] {
  const { problem, activities, until } = tried;
  const litresOf = (delay: Delay) =>
    shortOf(
      tried,
      play(problem, activities, { variation: NOTHING, chance: () => 0.5 }, { delay, until }).done,
    ).reduce((a, b) => a + b, 0);
  const least = litresOf(() => 0);
  return activities
    .flatMap((one, index): Harm[] => {
      if (one.kind === 'swap' || one.start < problem.now || one.start >= until) return [];
      const litres = litresOf((other) => (other === index ? by : 0)) - least;
      return litres > 1e-9 ? [{ index, litres }] : [];
    })
    .sort((a, b) => b.litres - a.litres || a.index - b.index);
}
const NOTHING: Variation = {
  slower: 0,
  swapLate: 0,
  away: { perDay: 0, minutes: 0 },
  down: { perDay: 0, minutes: 0 },
  testFails: 0,
};

/**
 * Between which shares the true one lies, 95 % sure (Wilson's interval, Wilson 1927).
 * @returns shares 0 to 1
 */
export function wilson(count: number, of: number): readonly [number, number] {
  const z = 1.959964;
  const share = count / of;
  const middle = (share + (z * z) / (2 * of)) / (1 + (z * z) / of);
  const half = (z / (1 + (z * z) / of)) * Math.sqrt((share * (1 - share)) / of + (z * z) / (4 * of * of));
  return [Math.max(0, middle - half), Math.min(1, middle + half)];
}
