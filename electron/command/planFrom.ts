import type { Plan } from '../../src/plan/plan.ts';
import { planOn } from '../../src/planner/plan.ts';
import type { PlanOptions } from '../../src/planner/planner.ts';
import type { Start } from '../../src/record/from.ts';

/** A plan from now on: what is under way ends inside its real window, all else begins later. */
export const planFrom = (
  { problem, underWay }: Pick<Start, 'problem' | 'underWay'>,
  options: Pick<PlanOptions, 'seconds' | 'seed' | 'clock' | 'tries'>,
): Promise<Plan> => planOn(problem, { ...options, underWay });
