import type { Activity } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { Occupancy } from './occupancy.ts';

/**
 * The same plan with fewer tests, if that is possible: each as late as it can be once all else is known. While machines
 * are booked one after the other some tests are made sooner than it turns out they must. Sources are taken one by one,
 * so the tests that are there always do and nothing else moves.
 * @param activities a valid plan
 * @param history what has begun by minute `now`, tests it runs on included: it stays
 */
export function fewestTests(
  problem: Problem,
  activities: readonly Activity[],
  history: readonly Activity[] = [],
  now = 0,
): readonly Activity[] {
  const past = new Set(history.map((a) => (a.kind === 'test' ? `${a.water} ${a.end}` : '')));
  let best = activities;
  problem.water.forEach(({ id }, w) => {
    const others = best.filter((a) => a.kind !== 'test' || a.water !== id || past.has(`${id} ${a.end}`));
    const held = new Occupancy(problem);
    held.assume(others);
    held.now = now;
    const flows = others
      .filter((a) => a.kind !== 'test' && a.kind !== 'swap')
      .filter((a) => problem.machines.some((m) => 'machine' in a && m.id === a.machine && m.water === w))
      .sort((a, b) => a.start - b.start);
    if (!flows.every(({ start, end }) => held.ensureTests(w, start, end) < 0)) return;
    const made = held.activities();
    if (made.length < best.length) best = made;
  });
  return best;
}
