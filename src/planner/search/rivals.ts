import { type Activity, compareScores, type Plan, type Score } from '../../plan/plan.ts';
import type { PlanOptions } from '../options.ts';

const SEEDS = 2 ** 31;
/** Any odd numbers will do: far from seeds that people choose, and from each other. */
const APART = 0x5bd1e995;
const ROUND_APART = 0x2545f491;
/** Pairs of searches at most: see `contest`. */
export const ROUNDS = 5;
/** What the last pairs together must have saved for another to be worth its time: share of the work, of so many pairs. */
const WORTH = { share: 0.005, pairs: 2 };
/** Times as many tries as a search that goes on from a plan has one that begins anew: see `contest`. */
export const FIRST_TAKES = 2;
/** Fills of a plan above which one pair has to do; where it leaves a need unmet, so many pairs at most. */
export const MANY = 600;
const ROUNDS_OF_MANY = 3;
/** Fills below which there is so little to find that two equal plans have found it; so many pairs, each anew, where a need is unmet. */
const FEW = 20;
const ROUNDS_OF_FEW = 3;

/** What one search is told. */
export type Own = Required<Pick<PlanOptions, 'seed' | 'cool'>> & { readonly from?: readonly Activity[] };

/** The two searches of a round: always the same, so that the plan does not depend on the computer. */
export function pairOf(
  seed: number,
  round: number,
  from: Pick<Own, 'from'> = {},
): readonly [first: Own, second: Own] {
  const own = (seed + round * ROUND_APART) % SEEDS;
  // A search leaves much to chance, and some scenarios want it hot, some cool.
  return [
    { ...from, seed: own, cool: false },
    { ...from, seed: (own + APART) % SEEDS, cool: true },
  ];
}

/** Share done of so many rounds, when so much of one is. */
export const doneOfAll = (round: number, done: number, rounds: number): number =>
  (round === 0 ? FIRST_TAKES * done : FIRST_TAKES + round - 1 + done) / (FIRST_TAKES + rounds - 1);

type Found = Pick<Plan, 'activities' | 'score'>;

const fillsIn = ({ activities }: Found): number => activities.filter(({ kind }) => kind === 'fill').length;
/** Whether a plan of a few fills leaves a need unmet: searches from it seldom find more, and others are over in a second. */
const fewFallShort = (plan: Found): boolean => plan.score.unmetLitres > 0 && fillsIn(plan) < FEW;

/** Pairs of searches that may be worth their time, once the first pair has found these. */
export function roundsFor(a: Found, b: Found): number {
  const fills = fillsIn(a);
  if (fills > MANY) return Math.min(a.score.unmetLitres, b.score.unmetLitres) > 0 ? ROUNDS_OF_MANY : 1;
  if (fewFallShort(a) && fewFallShort(b)) return ROUNDS_OF_FEW;
  return fills >= FEW || compareScores(a.score, b.score) !== 0 ? ROUNDS : 1;
}

/**
 * The better plan, of equals the first; where there is no second, the first with a remark.
 * @param second why there is none, in words, when it failed
 */
export function betterPlan(first: Plan, second: Plan | string): Plan {
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

/** Whether another pair may be expected to be worth its time. @param gains of the pairs so far but the first, see `gainOf` */
export const worthAnother = (gains: readonly number[]): boolean =>
  gains.length < WORTH.pairs || gains.slice(-WORTH.pairs).reduce((sum, gain) => sum + gain, 0) >= WORTH.share;

/**
 * The best plan of searches in pairs, one on each core: the first anew (the second too, as long as a need is unmet), the
 * others each from the best plan of all before and with fewer tries, until the last ones gained next to nothing. One long
 * search wanders from where it has been, while these begin hot again where it is best.
 * @param search runs a pair side by side, told how many rounds there may be (null as long as that is not known); a second
 * plan that there is none of is the reason, in words
 * @param ask asked before another round. `late`: there is no time for it, and a remark says so; `best`: no plan can be better
 */
export async function contest(
  seed: number,
  search: (
    pair: readonly [first: Own, second: Own],
    round: number,
    rounds: number | null,
  ) => Promise<readonly [Plan, Plan | string]>,
  ask: { readonly late?: () => boolean; readonly best?: () => boolean } = {},
): Promise<Plan> {
  const remarks = new Set<string>();
  let best: Plan | null = null;
  const gains: number[] = [];
  let rounds = 1;
  for (let round = 0; ; round++) {
    // Where something stays unmet after the first pair, another fresh look has left less more often than one from there.
    const few = best !== null && fewFallShort(best);
    const anew = !best || few || (round === 1 && best.score.unmetLitres > 0);
    const own = pairOf(seed, round, anew ? {} : { from: best!.activities });
    const [first, second] = await search(own, round, round === 0 ? null : rounds);
    const better = betterPlan(first, second);
    for (const remark of better.remarks) remarks.add(remark);
    const isBetter = !best || compareScores(better.score, best.score) < 0;
    if (best) gains.push(isBetter ? gainOf(best.score, better.score) : 0);
    if (isBetter) best = better;
    if (round === 0 && typeof second !== 'string') rounds = roundsFor(first, second);
    const enough =
      round === rounds - 1 ||
      !(few || worthAnother(gains)) ||
      typeof second === 'string' ||
      ask.best?.() === true;
    if (!enough && !ask.late?.()) continue;
    if (!enough) remarks.add('The clock left no time for another pair of searches.');
    return { ...best!, remarks: [...remarks] };
  }
}
