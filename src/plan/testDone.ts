import type { Problem } from '../scenario/problem/types.ts';
import { lotsOfFills } from './cover.ts';
import { holdsIn } from './late/minutes.ts';
import type { Activity } from './plan.ts';

/** min; a test that passed so long before a planned one may be that one, done early (site assumption). */
const EARLY = 60;

/** A planned test of which one that passed shortly before may take the place, and why it does not; null: it does. */
interface Early {
  readonly test: Activity;
  readonly passed: number;
  readonly needed: string | null;
}

/** The next planned test of a source, where one passed shortly before it. */
function earlyAt(problem: Problem, activities: readonly Activity[], source: number): Early | null {
  const { id, lastTest } = problem.water[source]!;
  const ahead = activities.filter(
    (one) => one.kind === 'test' && one.water === id && one.start >= problem.now,
  );
  const [test] = ahead.sort((a, b) => a.start - b.start);
  if (!test || lastTest === null || lastTest > test.start || test.start - lastTest > EARLY) return null;
  return { test, passed: lastTest, needed: whyNeeded(problem, activities, { source, test }) };
}

/**
 * What would go wrong without a planned test: a machine that would run untested before the next one, or bags that would wait
 * longer for their release.
 */
function whyNeeded(
  problem: Problem,
  activities: readonly Activity[],
  { source, test }: { readonly source: number; readonly test: Activity },
): string | null {
  const without = activities.filter((one) => one !== test);
  const [before, after] = [holdsIn(problem, source, activities), holdsIn(problem, source, without)];
  const until = test.end + problem.water[source]!.testEvery;
  const machines = new Set(problem.machines.flatMap(({ id, water }) => (water === source ? id : [])));
  for (const one of activities) {
    if (one.kind !== 'circuit' && one.kind !== 'bath' && one.kind !== 'fill') continue;
    if (!machines.has(one.machine)) continue;
    for (let minute = Math.max(one.start, problem.now); minute <= Math.min(one.end, until); minute++)
      if (before(minute) && !after(minute)) return `${one.machine} would run untested without it`;
  }
  const ready = (list: readonly Activity[]) => lotsOfFills(problem, list).map((lot) => lot.ready);
  const later = ready(without);
  return ready(activities).some((minute, lot) => minute !== later[lot]) ? 'bags wait for it' : null;
}

/** Of a plan from now on, what is still to be done: without planned tests whose work a test that passed early does. */
export function withoutTestsDone(problem: Problem, activities: readonly Activity[]): readonly Activity[] {
  const done = problem.water.flatMap((_, source) => {
    const early = earlyAt(problem, activities, source);
    return early && early.needed === null ? early.test : [];
  });
  return done.length === 0 ? activities : activities.filter((one) => !done.includes(one));
}

/** Why a source is to be tested again so soon after a test passed; null where it is not. @param source its number */
export const askedAgain = (
  problem: Problem,
  activities: readonly Activity[],
  source: number,
): (Early & { readonly needed: string }) | null => {
  const early = earlyAt(problem, activities, source);
  return early?.needed ? { ...early, needed: early.needed } : null;
};
