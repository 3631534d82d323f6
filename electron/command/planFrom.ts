import type { Plan } from '../../src/plan/plan.ts';
import { plan, replan } from '../../src/planner/plan.ts';
import type { PlanOptions } from '../../src/planner/planner.ts';
import type { Start } from '../../src/record/from.ts';

/** A plan from now on: what is under way ends inside its real window, all else begins later. */
export async function planFrom(
  { problem, ended }: Pick<Start, 'problem' | 'ended'>,
  options: Pick<PlanOptions, 'seconds' | 'seed' | 'clock' | 'tries'>,
): Promise<Plan> {
  const { now } = problem;
  if (ended.length === 0) return plan(problem, { ...options, now });
  return replan(problem, { ...options, previous: ended, now, anew: true });
}
