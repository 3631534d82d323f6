import { asPlan } from '../../plan/asPlan.ts';
import { type Activity, NOTHING_PROVEN } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Planner } from '../options.ts';
import { historyOf } from '../schedule/history.ts';
import { leftOutRemarks } from '../schedule/placeDuties.ts';
import { planAnew, searched } from '../search/planAnew.ts';
import { endedOf } from './ends.ts';
import { repaired } from './repair.ts';
import { LONG_TRIES, type ReplanOptions } from './replan.ts';
import { settingOf } from './replay.ts';
import { withRoom } from './room.ts';
import { steadied } from './steady.ts';

/** What begins within so many minutes stays as it is, unless told otherwise. */
const STEADY_MINUTES = 120;

/**
 * Plans on from a state: the problem begins at its `now`, at which something may be under way (`underWay`). Of the plan
 * before (`previous`) what begins within `steadyMinutes` stays to the minute unless that breaks a rule by now; of the rest
 * as little moves as the score allows. Nothing begins before `now`.
 */
export const planOn = async (problem: Problem, options: ReplanOptions = {}): ReturnType<Planner> => {
  const { underWay = [], previous = [], steadyMinutes = STEADY_MINUTES, anew, ...rest } = options;
  const { now } = problem;
  const began = options.clock?.() ?? 0;
  const under = endedOf(problem, underWay, previous);
  const ended = [...under, ...firstTests(problem, under)];
  const tested = new Set(ended.flatMap((one) => (one.kind === 'test' ? one.water : [])));
  // Where a source is tested first, its test of before no longer counts.
  const done = setUpsDone(problem, previous);
  const ahead = previous.filter(
    (one) =>
      one.start >= now &&
      !done.has(one) &&
      !(one.kind === 'test' && tested.has(one.water) && one.start < now + STEADY_MINUTES),
  );
  if (ahead.length === 0) return planAnew(problem, { ...rest, now, pinned: ended });
  const told = (activities: readonly Activity[], remarks: readonly string[] = []) =>
    asPlan(problem, activities, {
      bound: NOTHING_PROVEN,
      remarks,
      seconds: ((options.clock?.() ?? 0) - began) / 1000,
    });
  const tell = async (activities: readonly Activity[]) => {
    const { score, activities: ordered } = told(activities);
    options.onProgress?.({ done: 0, score, bound: null, activities: ordered });
    await options.pause?.();
  };
  const before = [...ended, ...ahead];
  const stands = repaired(settingOf(problem, ended, now), before);
  await tell(stands);
  const pinned = pinnedIn(stands, ended, now + steadyMinutes);
  const setting = settingOf(problem, pinned, now);
  const kept = anew ? stands : withRoom(setting, before, stands);
  if (kept !== stands) await tell(kept);
  const found = await searched(problem, {
    ...rest,
    ...(anew && { tries: rest.tries ?? LONG_TRIES }),
    previous: kept,
    now,
    pinned,
  });
  const steady = steadied(setting, before, kept, found.activities);
  return told(steady, [...found.remarks, ...leftOutRemarks(problem, steady, pinned)]);
};

/**
 * Set-ups of a plan before that are done by now: nobody sets up a circuit again, or changes to the bath that runs, because
 * the plan before still had it ahead when it was noted. Of each machine its first, where nothing is filled before it; a
 * circuit only where the one in place began within `STEADY_MINUTES`, so that no renewal of an old one is taken for done.
 */
export function setUpsDone({ machines, baths, now }: Problem, previous: readonly Activity[]): Set<Activity> {
  const done = machines.flatMap(({ id, loaded }) => {
    const [first] = previous
      .filter((one) => 'machine' in one && one.machine === id && one.start >= now)
      .sort((a, b) => a.start - b.start);
    if (!first || !loaded || (first.kind !== 'circuit' && first.kind !== 'bath')) return [];
    const fresh = loaded.since >= now - STEADY_MINUTES;
    return first.bath === baths[loaded.bath] && (first.kind === 'bath' || fresh) ? first : [];
  });
  return new Set(done);
}

/**
 * A source that may not run (its last test failed, or none is noted) is tested first, as soon as somebody is free beside
 * what is under way: until then nothing on it can begin.
 */
function firstTests(problem: Problem, under: readonly Activity[]): Activity[] {
  const { now, horizon, rules, staff } = problem;
  const busy = new Int16Array(horizon);
  const take = (from: number, to: number, hands: number) => {
    for (let t = Math.max(now, from); t < Math.min(horizon, to); t++) busy[t]! += hands;
  };
  for (const one of under)
    if (one.kind !== 'fill' && one.kind !== 'duty')
      take(one.start - rules.walkMinutes, one.end, rules.hands[one.kind]);
  const used = new Set(problem.machines.map(({ water }) => water));
  return problem.water.flatMap(({ id, lastTest, testMinutes }, index): Activity[] => {
    if (lastTest !== null || !used.has(index) || now === 0) return [];
    const hands = rules.hands.test;
    const free = (from: number, to: number) => {
      for (let t = Math.max(now, from); t < to; t++) if (staff[t]! < busy[t]! + hands) return false;
      return true;
    };
    for (let start = now; start + testMinutes <= horizon; start++) {
      if (!free(start - rules.walkMinutes, start + testMinutes)) continue;
      take(start - rules.walkMinutes, start + testMinutes, hands);
      return [{ kind: 'test', water: id, start, end: start + testMinutes }];
    }
    return [];
  });
}

/** What is under way, and what begins before a minute with all that goes with it; duties that begin later stay free to move. */
function pinnedIn(stands: readonly Activity[], ended: readonly Activity[], until: number): Activity[] {
  const pinned = historyOf(stands, until);
  const signs = new Set(pinned.map((one) => JSON.stringify(one)));
  return [...pinned, ...ended.filter((one) => !signs.has(JSON.stringify(one)))];
}
