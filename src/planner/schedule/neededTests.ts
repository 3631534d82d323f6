import { type Activity, placeOf } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { releasesIn } from './pieces.ts';

export type Test = Activity & { readonly kind: 'test' };

/**
 * Without the tests that no minute of flow needs and no bags wait for; those of history stay. The last to be spared is the
 * first in time.
 * @param waits whether something else asks for a test; asked once for each, in the order in which they go
 */
export function neededTests(
  problem: Problem,
  activities: readonly Activity[],
  fixed: readonly Activity[],
  waits: (test: Test) => boolean = awaited(problem, activities),
): Activity[] {
  const past = new Set(fixed.map(signOf));
  const idle = new Set<Activity>();
  problem.water.forEach(({ id, lastTest }, w) => {
    const flows = flowsOf(problem, activities, w);
    const serves = new Int16Array(problem.horizon);
    const servedTo = serving(problem, activities, w);
    const each = (end: number, act: (minute: number) => void) => {
      const to = servedTo(end);
      for (let t = Math.max(0, end); t <= Math.min(problem.horizon - 1, to); t++) act(t);
    };
    const add = (by: number) => (t: number) => {
      serves[t]! += by;
    };
    if (lastTest !== null) each(lastTest, add(1));
    const tests = activities.filter(
      (activity): activity is Test => activity.kind === 'test' && activity.water === id,
    );
    for (const { end } of tests) each(end, add(1));
    for (const test of [...tests].sort((a, b) => b.start - a.start)) {
      let needed = past.has(signOf(test));
      each(test.end, (t) => {
        if (flows[t] && serves[t] === 1) needed = true;
      });
      if (needed || waits(test)) continue;
      each(test.end, add(-1));
      idle.add(test);
    }
  });
  return activities.filter((activity) => !idle.has(activity));
}

/** 1 for each minute in which a source feeds a machine. */
function flowsOf({ machines, horizon }: Problem, activities: readonly Activity[], w: number): Uint8Array {
  const mine = new Set(machines.flatMap(({ id, water }) => (water === w ? id : [])));
  const flows = new Uint8Array(horizon);
  for (const one of activities) if ('bath' in one && mine.has(one.machine)) flows.fill(1, one.start, one.end);
  return flows;
}

/** Told when a test ends, the last minute that it serves: its time is over, or a duty at the source voids it. */
function serving(
  { water, duties }: Problem,
  activities: readonly Activity[],
  w: number,
): (end: number) => number {
  const { id, testEvery } = water[w]!;
  const voids = new Set(duties.flatMap((duty) => (duty.voidsTests ? duty.id : [])));
  const there = activities.filter((one) => one.kind === 'duty' && one.water === id && voids.has(one.duty));
  return (end) =>
    there.reduce((to, one) => (end < one.end ? Math.min(to, one.start - 1) : to), end + testEvery);
}

/** Tests that something other than flow asks for: bags that they release, or what `unwalked` says. */
function awaited(problem: Problem, activities: readonly Activity[]): (test: Test) => boolean {
  const { rules, machines, water } = problem;
  const releaseOf = releasesIn(problem, activities);
  const number = new Map(machines.map(({ id }, m) => [id, m]));
  const released = new Set(
    activities.flatMap((one) => {
      const m = one.kind === 'fill' ? number.get(one.machine) : undefined;
      return m === undefined || !rules.releaseAfterTest
        ? []
        : `${water[machines[m]!.water]!.id} ${releaseOf(m, one.end)}`;
    }),
  );
  const begun = unwalked(problem, activities);
  return (test) => released.has(`${test.water} ${test.end}`) || begun(test);
}

/** Tests without which somebody had to walk to what begins at the source as they end. */
export function unwalked({ rules }: Problem, activities: readonly Activity[]): (test: Test) => boolean {
  const begun = new Set(
    activities.flatMap((one) => ('water' in one && rules.walkMinutes > 0 ? `${one.water} ${one.start}` : [])),
  );
  return ({ water, end }) => begun.has(`${water} ${end}`);
}

const signOf = (activity: Activity): string => `${placeOf(activity)} ${activity.kind} ${activity.start}`;
