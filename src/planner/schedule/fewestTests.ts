import { demandOf } from '../../demand/demand.ts';
import { type Activity, compareScores } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { activitiesOf, assume } from './listing.ts';
import { neededTests, unwalked } from './neededTests.ts';
import { Occupancy } from './occupancy.ts';
import { worthOf } from './pieces.ts';

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
  if (problem.rules.releaseAfterTest) return withoutVainTests(problem, activities, history);
  const past = new Set(history.map((a) => (a.kind === 'test' ? `${a.water} ${a.end}` : '')));
  let best = activities;
  problem.water.forEach(({ id }, w) => {
    const others = best.filter((a) => a.kind !== 'test' || a.water !== id || past.has(`${id} ${a.end}`));
    const held = new Occupancy(problem);
    assume(held, others);
    held.now = now;
    const flows = others
      .filter((a) => a.kind !== 'test' && a.kind !== 'swap')
      .filter((a) => problem.machines.some((m) => 'machine' in a && m.id === a.machine && m.water === w))
      .sort((a, b) => a.start - b.start);
    if (!flows.every(({ start, end }) => held.ensureTests(w, start, end) < 0)) return;
    const made = activitiesOf(held);
    if (made.length < best.length) best = made;
  });
  return best;
}

/** Where bags wait for tests: the same plan without those that nothing would be worse without. */
function withoutVainTests(
  problem: Problem,
  activities: readonly Activity[],
  history: readonly Activity[],
): readonly Activity[] {
  const demand = demandOf(problem);
  const walked = unwalked(problem, activities);
  let left = activities;
  let score = worthOf(problem, demand, left);
  return neededTests(problem, activities, history, (test) => {
    const without = left.filter((one) => one !== test);
    const then = worthOf(problem, demand, without);
    if (walked(test) || compareScores(then, score) > 0) return true;
    left = without;
    score = then;
    return false;
  });
}
