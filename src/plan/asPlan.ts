import { demandOf } from '../demand/demand.ts';
import type { Problem } from '../scenario/problem/types.ts';
import { cover, lotsOfFills, needRows, scoreOf } from './cover.ts';
import { type Activity, inOrder, type Plan } from './plan.ts';

/** Activities with what they are worth: the plan that a sheet, a file or a page shows. */
export function asPlan(
  problem: Problem,
  activities: readonly Activity[],
  rest: Pick<Plan, 'bound' | 'remarks' | 'seconds'>,
): Plan {
  const ordered = inOrder(activities);
  const demand = demandOf(problem);
  const covered = cover(problem, demand, lotsOfFills(problem, ordered));
  return {
    activities: ordered,
    needs: needRows(problem, demand, covered),
    score: scoreOf(problem, ordered, covered),
    ...rest,
  };
}
