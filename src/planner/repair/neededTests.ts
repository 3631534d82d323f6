import { type Activity, placeOf } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';

/** Without the tests that no minute of flow needs; those of history stay. The last to be spared is the first in time. */
export function neededTests(
  problem: Problem,
  activities: readonly Activity[],
  fixed: readonly Activity[],
): Activity[] {
  const waterOfMachine = new Map(problem.machines.map(({ id, water }) => [id, problem.water[water]!.id]));
  const past = new Set(fixed.map(signOf));
  const idle = new Set<Activity>();
  for (const { id, testEvery, lastTest } of problem.water) {
    const flows = new Uint8Array(problem.horizon);
    for (const activity of activities)
      if ('bath' in activity && waterOfMachine.get(activity.machine) === id)
        flows.fill(1, activity.start, activity.end);
    const serves = new Int16Array(problem.horizon);
    const each = (end: number, act: (minute: number) => void) => {
      for (let t = Math.max(0, end); t <= Math.min(problem.horizon - 1, end + testEvery); t++) act(t);
    };
    const add = (by: number) => (t: number) => {
      serves[t]! += by;
    };
    if (lastTest !== null) each(lastTest, add(1));
    const tests = activities.filter((activity) => activity.kind === 'test' && activity.water === id);
    for (const { end } of tests) each(end, add(1));
    for (const test of [...tests].sort((a, b) => b.start - a.start)) {
      let needed = past.has(signOf(test));
      each(test.end, (t) => {
        if (flows[t] && serves[t] === 1) needed = true;
      });
      if (needed) continue;
      each(test.end, add(-1));
      idle.add(test);
    }
  }
  return activities.filter((activity) => !idle.has(activity));
}

const signOf = (activity: Activity): string => `${placeOf(activity)} ${activity.kind} ${activity.start}`;
