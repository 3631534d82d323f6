import type { Plan } from '../plan/plan.ts';
import { gapOf } from './summary.ts';

/** Share of the need, L, that may perhaps still be covered: a plan that leaves more is not good enough to act on. */
const LITRES = 0.01;
/** Percent above the bound: a plan that is further from it is one of the first few that come to mind. */
const PERCENT = 50;

/** How far a plan that is good enough to act on may be from the best possible. */
interface Enough {
  /** At most so much more hands-on work, percent. */
  readonly percent: number;
  /** Unmet: L that a better plan may perhaps still cover, a small share of the need. */
  readonly litres: number;
}

/**
 * Whether people can act on a plan while a better one is looked for: what may still be covered is proven to be next to
 * nothing, and so is how much work may still be saved. Null: not, or it is not proven yet.
 */
export function goodEnough(plan: Pick<Plan, 'score' | 'bound' | 'needs'>): Enough | null {
  const { litres, handsOnPercent } = gapOf(plan);
  if (litres === null || handsOnPercent === null) return null;
  const needed = plan.needs.reduce((sum, need) => sum + need.litres, 0);
  return litres <= LITRES * needed && handsOnPercent <= PERCENT ? { percent: handsOnPercent, litres } : null;
}

/** No plan is better, whatever is searched: each part of the score is at what is proven, or at nothing. */
export function isBest({ score, bound }: Pick<Plan, 'score' | 'bound'>): boolean {
  const { unmetLitres, unmetLitreHours, reserveShort, handsOnMinutes, expiredBags } = score;
  const beside = unmetLitres + unmetLitreHours + reserveShort + expiredBags;
  return beside === 0 && bound.handsOnMinutes !== null && handsOnMinutes <= bound.handsOnMinutes;
}
