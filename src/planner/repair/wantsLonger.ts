import { movedBetween } from '../../plan/moved.ts';
import type { Plan } from '../../plan/plan.ts';
import { SAME } from '../explain/shortages.ts';

/** Share of a plan that is much of it. */
const MUCH = 0.2;

/**
 * Whether the short search after an edit has found something, not the best, and the long one should go on from it: it
 * had to move much, it leaves more unmet than the plan before, which may only take longer to mend, or it leaves something
 * unmet where there was reason to leave less.
 * @param eased a limit of what can be made was changed, say one more technician at night: what that is good for is seldom
 * found in a short search
 * @param lost L that no fill can serve (see `outOfReach`): to search for them is in vain
 */
export function wantsLonger(
  before: Pick<Plan, 'activities' | 'score'>,
  after: Pick<Plan, 'activities' | 'score'>,
  eased = false,
  lost = 0,
): boolean {
  const { added, shifted } = movedBetween(before.activities, after.activities);
  const unmet = after.score.unmetLitres;
  return (
    unmet > before.score.unmetLitres ||
    (unmet > lost + SAME && (eased || unmet < before.score.unmetLitres)) ||
    added.length + shifted.length > MUCH * after.activities.length
  );
}
