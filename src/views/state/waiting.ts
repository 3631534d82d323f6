import { movedBetween } from '../../plan/moved.ts';
import { compareScores } from '../../plan/plan.ts';
import { type Step, step } from './events.ts';
import type { Planned } from './planned.ts';
import { shown } from './proofRun.ts';
import { isCurrent, type Session } from './session.ts';

/** Somebody reads the plan on screen task by task, or has it on paper or in a file: it must not change under their hands. */
function isWatched({ view, selection, used, planned }: Session): boolean {
  if (!planned) return false;
  if (selection.activity !== null || used === planned.plan.activities) return true;
  return view.place === 'home'
    ? view.arrangement === 'technician'
    : view.part === 'timeline' || view.part === 'paper';
}

/**
 * Whether a plan that the planner found by itself waits to be taken: it answers the same scenario as the one on screen, and
 * moves tasks that somebody looks at. While a first search goes on, one that leaves less unmet does not wait.
 */
export function mustWait(session: Session, found: Planned): boolean {
  const { planned, searched } = session;
  if (!planned?.verdict.ok || !isCurrent(session) || !isWatched(session)) return false;
  const saves = planned.plan.score.unmetLitres - found.plan.score.unmetLitres > 1e-6;
  if (saves && !searched) return false;
  return compareScores(found.plan.score, planned.plan.score) < 0 && movesOf(planned, found) > 0;
}

/** Tasks that are new, gone, or at another minute. */
export function movesOf(before: Planned, after: Planned): number {
  const { added, shifted, gone } = movedBetween(before.plan.activities, after.plan.activities);
  return added.length + shifted.length + gone.length;
}

/** The waiting plan goes on screen with what is proven by now, or is dropped. */
export function waitingAnswered(session: Session, take: boolean): Step {
  const { waiting } = session;
  if (!waiting || !take) return step(session, { waiting: null });
  return step(session, { planned: shown(session, waiting, waiting.plan, waiting), waiting: null });
}
