import { compareScores, fillsIn, type Plan, type Score } from '../../plan/plan.ts';
import type { Made, PlanOptions } from '../options.ts';

const SEEDS = 2 ** 31;
/** Any odd numbers will do: far from seeds that people choose, and from each other. */
const APART = 0x5bd1e995;
const ROUND_APART = 0x2545f491;
/** What the last pairs together must have saved for another to be worth its time: share of the work, of so many pairs. */
const WORTH = { share: 0.005, pairs: 2 };
/** Times as many tries as a search that goes on from a plan has one that begins anew: see `contest`. */
export const FIRST_TAKES = 2;
/** Fills of a plan above which there is no time for more than one pair, or a few where it leaves a need unmet. */
export const MANY = 600;
/** Fills below which there is so little to find that two equal plans have found it. */
const FEW = 20;

/** Pairs of searches at most, and how many of them, the first ones, begin anew. */
export interface Course {
  readonly anew: number;
  readonly rounds: number;
}
const ONE_PAIR: Course = { anew: 1, rounds: 1 };
const OF_MANY: Course = { anew: 2, rounds: 3 };
const OF_FEW: Course = { anew: 3, rounds: 3 };
/** Where a search ends is left to chance, by some percent of the work on many weeks: more fresh ones find more than going on. */
export const OF_WEEK: Course = { anew: 3, rounds: 7 };

/** What one search is told. */
export type Own = Required<Pick<PlanOptions, 'seed' | 'cool'>> & Pick<PlanOptions, 'from' | 'lines'>;

/**
 * The two searches of a round: always the same, so that the plan does not depend on the computer.
 * @param how what both are told; `cool` unless one is to be hot, one cool
 */
export function pairOf(
  seed: number,
  round: number,
  how: Partial<Omit<Own, 'seed'>> = {},
): readonly [first: Own, second: Own] {
  const own = (seed + round * ROUND_APART) % SEEDS;
  // A search leaves much to chance, and some scenarios want it hot, some cool.
  return [
    { cool: false, ...how, seed: own },
    { cool: true, ...how, seed: (own + APART) % SEEDS },
  ];
}

/** Share done of a course, when so much of one round is. */
export function doneOfAll(round: number, done: number, { anew, rounds }: Course): number {
  const weight = (k: number) => FIRST_TAKES * Math.min(k, anew) + Math.max(0, k - anew);
  return (weight(round) + (round < anew ? FIRST_TAKES : 1) * done) / weight(rounds);
}

type Found = Pick<Plan, 'activities' | 'score'>;

/** Whether a plan of a few fills leaves a need unmet: searches from it seldom find more, and others are over in a second. */
const fewFallShort = (plan: Found): boolean => plan.score.unmetLitres > 0 && fillsIn(plan.activities) < FEW;

/** Pairs of searches that may be worth their time, once the first pair has found these. */
export function courseFor(a: Found, b: Found): Course {
  const fills = fillsIn(a.activities);
  if (fills > MANY) return Math.min(a.score.unmetLitres, b.score.unmetLitres) > 0 ? OF_MANY : ONE_PAIR;
  if (fewFallShort(a) && fewFallShort(b)) return OF_FEW;
  return fills >= FEW || compareScores(a.score, b.score) !== 0 ? OF_WEEK : ONE_PAIR;
}

/**
 * The better plan, of equals the first; where there is no second, the first with a remark.
 * @param second why there is none, in words, when it failed
 */
export function betterPlan(first: Made, second: Made | string): Made {
  if (typeof second === 'string')
    return { ...first, remarks: [...first.remarks, `The second search counts for nothing: ${second}.`] };
  return compareScores(second.score, first.score) < 0 ? second : first;
}

/**
 * What a pair of searches gained: infinitely much where it serves more, sooner or keeps more in stock, else the share of the
 * hands-on work that it saved.
 */
export function gainOf(before: Score, after: Score): number {
  const { handsOnMinutes, expiredBags } = before;
  if (compareScores({ ...after, handsOnMinutes, expiredBags }, before) < 0) return Number.POSITIVE_INFINITY;
  return (handsOnMinutes - after.handsOnMinutes) / Math.max(1, handsOnMinutes);
}

/** Whether another pair may be expected to be worth its time. @param gains of the pairs so far that went on from a plan, see `gainOf` */
export const worthAnother = (gains: readonly number[]): boolean =>
  gains.length < WORTH.pairs || gains.slice(-WORTH.pairs).reduce((sum, gain) => sum + gain, 0) >= WORTH.share;

/**
 * The best plan of searches in pairs, one on each core: the first ones anew, the others each from the best plan of all before
 * and with fewer tries, until the last ones gained next to nothing. One long search wanders from where it has been, while
 * these begin hot again where it is best.
 * @param search runs a pair side by side, told how many rounds there may be (null as long as that is not known); a second
 * plan that there is none of is the reason, in words
 * @param ask asked before another round. `late`: there is no time for it, and a remark says so; `best`: no plan can be better
 */
export async function contest(
  seed: number,
  search: (
    pair: readonly [first: Own, second: Own],
    round: number,
    course: Course | null,
  ) => Promise<readonly [Made, Made | string]>,
  ask: { readonly late?: () => boolean; readonly best?: () => boolean } = {},
): Promise<Plan> {
  const remarks = new Set<string>();
  const gains: number[] = [];
  let best: Made | null = null;
  let course: Course | null = null;
  let how: Partial<Omit<Own, 'seed'>> = {};
  for (let round = 0; ; round++) {
    const anew = round < (course?.anew ?? 1);
    const going = anew || !best ? { lines: { of: null } } : goingOn(best);
    const [first, second] = await search(pairOf(seed, round, { ...(anew && how), ...going }), round, course);
    const better = betterPlan(first, second);
    for (const remark of better.remarks) remarks.add(remark);
    const isBetter = !best || compareScores(better.score, best.score) < 0;
    if (best && !anew) gains.push(isBetter ? gainOf(best.score, better.score) : 0);
    if (isBetter) best = better;
    if (!course) {
      if (typeof second !== 'string') course = courseFor(first, second);
      // What has led further leads further once more, mostly. Of a few fills both are over soon.
      if (course === OF_WEEK) how = { cool: better === second };
    }
    course ??= ONE_PAIR;
    const enough =
      round === course.rounds - 1 ||
      !worthAnother(gains) ||
      typeof second === 'string' ||
      ask.best?.() === true;
    if (!enough && !ask.late?.()) continue;
    if (!enough) remarks.add('The clock left no time for another pair of searches.');
    const { lines: _, ...made } = best!;
    return { ...made, remarks: [...remarks] };
  }
}

/** What a search is told that goes on from a plan. */
const goingOn = ({ activities, lines }: Made): Pick<Own, 'from' | 'lines'> => ({
  from: activities,
  lines: { of: lines ?? null },
});
