import { signOf } from '../../plan/moved.ts';
import type { Activity } from '../../plan/plan.ts';
import { linesOf } from '../schedule/lines.ts';
import { Search } from '../search/search.ts';
import type { Setting } from './replay.ts';

/**
 * A plan of which something should have begun by now and has not, as people go on with it: each machine keeps its order,
 * what is overdue begins as soon as may be, what follows at its own minute or as soon after as may be. What then serves
 * nobody is left out.
 * @param ahead what begins from now on
 * @param overdue in order of time
 */
export function caughtUp(
  { problem, demand, history, now }: Setting,
  ahead: readonly Activity[],
  overdue: readonly Activity[],
): Activity[] {
  const search = new Search(problem, demand);
  search.freeze(history, now);
  const late = overdue.map((one) => ({ ...one, start: now, end: now }));
  search.consider(linesOf(problem, [...history, ...late, ...ahead], now, history));
  const fixed = new Set(history.map(signOf));
  return [...history, ...search.activities().filter((one) => !fixed.has(signOf(one)))];
}
