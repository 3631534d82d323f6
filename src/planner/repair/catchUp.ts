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

/** min by which a duty may make way, tried in this order. */
const WAITS = [5, 10, 20, 40];

/**
 * Ways to go on in which a duty at a water source waits, within its slack, for what is late on its machines: as it stands
 * it would keep a fill from beginning at all that runs into it by minutes. Only the next occurrence of each moves.
 */
export function caughtUpFirst(
  setting: Setting,
  ahead: readonly Activity[],
  overdue: readonly Activity[],
): Activity[][] {
  const { problem, history } = setting;
  const begun = new Set(history.map((one) => (one.kind === 'duty' ? one.duty : '')));
  const waiting = (wait: number) => {
    const duties = problem.duties.flatMap((duty) => {
      const [next, ...others] = duty.at;
      const waits = duty.place?.kind === 'water' && duty.slack >= wait && !begun.has(duty.id);
      if (!waits || next === undefined) return duty;
      return [
        { ...duty, at: [next], early: -wait },
        { ...duty, at: others },
      ];
    });
    return duties.length > problem.duties.length ? { ...problem, duties } : null;
  };
  return WAITS.flatMap((wait) => {
    const later = waiting(wait);
    return later ? [caughtUp({ ...setting, problem: later }, ahead, overdue)] : [];
  });
}
