import { type Activity, compareScores, type Plan } from '../plan/plan.ts';
import type { PlanOptions } from './planner.ts';

const SEEDS = 2 ** 31;
/** Any odd numbers will do: far from seeds that people choose, and from each other. */
const APART = 0x5bd1e995;
const ROUND_APART = 0x2545f491;
/** Pairs of searches at most. */
export const ROUNDS = 4;
/** Pairs that begin anew; those after them go on from the best plan of all before. */
const ANEW = 2;
/** Fills of a plan up to which there is time for more than one pair. */
const SMALL = 600;
/** Fills of a plan up to which another pair takes a few seconds: worth it as long as the two are not equal. */
const QUICK = 150;
/** Of the need, and of the hands-on minutes: two searches that end closer than this have found about what there is. */
const LITRES_APART = 0.001;
const MINUTES_APART = 0.001;
/** Fills of a plan below which there is little to find. */
const FEW = 20;
/** min; one test or one change of bath more is no sign either, however small the plan. */
const LEAST_MINUTES = 10;

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

/** Share done of all rounds, when so much of one is. */
export const doneOfAll = (round: number, done: number): number => (round + done) / ROUNDS;

/** Whether two searches of a small enough scenario end so far apart that a third may well find a better plan. */
export function farApart(a: Plan, b: Plan): boolean {
  const fills = a.activities.filter(({ kind }) => kind === 'fill').length;
  if (fills > SMALL) return false;
  if (fills <= QUICK && fills >= FEW) return compareScores(a.score, b.score) !== 0;
  const needed = a.needs.reduce((sum, { litres }) => sum + litres, 0);
  const minutes = Math.min(a.score.handsOnMinutes, b.score.handsOnMinutes);
  return (
    Math.abs(a.score.unmetLitres - b.score.unmetLitres) > LITRES_APART * needed ||
    a.score.reserveShort !== b.score.reserveShort ||
    Math.abs(a.score.handsOnMinutes - b.score.handsOnMinutes) >
      Math.max(LEAST_MINUTES, MINUTES_APART * minutes)
  );
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
 * The best plan of searches in pairs, one on each core: another pair as long as the two of the last one end far apart.
 * @param search runs a pair side by side; a second plan that there is none of is the reason, in words
 * @param late asked before another round; true: there is no time for it, and a remark says so
 */
export async function contest(
  seed: number,
  search: (
    pair: readonly [first: Own, second: Own],
    round: number,
  ) => Promise<readonly [Plan, Plan | string]>,
  late: () => boolean = () => false,
): Promise<Plan> {
  const remarks = new Set<string>();
  let best: Plan | null = null;
  for (let round = 0; ; round++) {
    const last = round === ROUNDS - 1;
    const [first, second] = await search(
      pairOf(seed, round, round >= ANEW && best ? { from: best.activities } : {}),
      round,
    );
    const better = betterPlan(first, second);
    for (const remark of better.remarks) remarks.add(remark);
    best = best && compareScores(best.score, better.score) <= 0 ? best : better;
    const enough = last || typeof second === 'string' || !farApart(first, second);
    if (!enough && !late()) continue;
    if (!enough) remarks.add('The clock left no time for another pair of searches.');
    return { ...best, remarks: [...remarks] };
  }
}
