import { asPlan } from '../../plan/asPlan.ts';
import { signOf } from '../../plan/moved.ts';
import { type Activity, compareScores, fillsIn, NOTHING_PROVEN } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Planner } from '../options.ts';
import { historyOf } from '../schedule/history.ts';
import { worthOf } from '../schedule/pieces.ts';
import { leftOutRemarks } from '../schedule/placeDuties.ts';
import { planAnew, searched } from '../search/planAnew.ts';
import { caughtUp, caughtUpFirst } from './catchUp.ts';
import { endedOf } from './ends.ts';
import { repaired } from './repair.ts';
import { LONG_TRIES, type ReplanOptions } from './replan.ts';
import { type Setting, settingOf } from './replay.ts';
import { withRoom } from './room.ts';
import { steadied } from './steady.ts';

/** What begins within so many minutes stays as it is, unless told otherwise. */
const STEADY_MINUTES = 120;
/** Less than so many L unmet is no difference. */
const LEAST_LITRES = 1e-6;

/**
 * Plans on from a state: the problem begins at its `now`, at which something may be under way (`underWay`). Of the plan
 * before (`previous`) what begins within `steadyMinutes` stays to the minute unless that breaks a rule by now; of the rest
 * as little moves as the score allows. Where that leaves need unmet which a plan without it would serve, need comes first.
 * Nothing begins before `now`.
 */
export const planOn = async (problem: Problem, options: ReplanOptions = {}): ReturnType<Planner> => {
  const {
    underWay = [],
    previous = [],
    overdue = [],
    steadyMinutes = STEADY_MINUTES,
    anew,
    real = problem,
    ...rest
  } = options;
  const { now } = problem;
  const began = options.clock?.() ?? 0;
  const ended = endedOf(real, underWay, previous);
  const tested = new Set(ended.flatMap((one) => (one.kind === 'test' ? one.water : [])));
  // Where a source is tested first, its test of before no longer counts.
  const done = setUpsDone(problem, previous);
  const ahead = previous.filter(
    (one) =>
      one.start >= now &&
      !done.has(one) &&
      !(one.kind === 'test' && tested.has(one.water) && one.start < now + STEADY_MINUTES),
  );
  if (ahead.length + overdue.length === 0) return planAnew(problem, { ...rest, now, pinned: ended });
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
  const { before, allowed } = startingPoint(settingOf(real, ended, now), ahead, overdue);
  const soon = pinnedIn(allowed, ended, now + steadyMinutes);
  const stands = real === problem ? allowed : tightened(problem, allowed, soon);
  await tell(stands);
  const elapsed = () => ((options.clock?.() ?? 0) - began) / 1000;
  /** Plans on from what stands, of which `pinned` may not move. @param share of the time that is left */
  const held = async (pinned: readonly Activity[], share: number) => {
    const setting = settingOf(problem, pinned, now);
    const kept = anew ? stands : withRoom(setting, before, stands);
    if (kept !== stands) await tell(kept);
    const seconds =
      rest.seconds === undefined ? {} : { seconds: share * Math.max(0, rest.seconds - elapsed()) };
    const how = { ...rest, ...seconds, ...(anew && { tries: rest.tries ?? LONG_TRIES }) };
    const found = await searched(problem, { ...how, previous: kept, now, pinned });
    const made = steadied(setting, before, kept, found.activities);
    return told(made, [...found.remarks, ...leftOutRemarks(problem, made, pinned)]);
  };
  const short = told(stands).score.unmetLitres > 0;
  const steady = await held(soon, short ? 0.5 : 1);
  // Somebody's bags come before an unmoved list: where less stays unmet so, what begins soon moves too, as little as may be.
  if (steady.score.unmetLitres <= 0 || soon.length === ended.length) return steady;
  const free = await held(ended, 1);
  return free.score.unmetLitres < steady.score.unmetLitres - LEAST_LITRES ? free : steady;
};

/** After so many minutes the plan before goes on: begun late to its end, a full week loses more in its last days than a rest does now. */
const JOINED = [120, 240, 480, 720, 1440, 2160];

/** The late plan up to a minute, the plan before from there on. */
const joinedAt = (minute: number, late: readonly Activity[], before: readonly Activity[]): Activity[] => [
  ...late.filter(({ start }) => start < minute),
  ...before.filter(({ start }) => start >= minute),
];

/**
 * The plan before and its repair. What can no longer begin at its minute, because it is overdue or what it waits for is
 * late, begins late, as people do it, and is not left out, unless the plan without it serves more: a machine that rests
 * instead loses a whole fill by a delay of minutes.
 */
function startingPoint(setting: Setting, ahead: readonly Activity[], overdue: readonly Activity[]) {
  const pointOf = (before: readonly Activity[], allowed: readonly Activity[]) => {
    const score = worthOf(setting.problem, setting.demand, allowed);
    // Who goes without comes first: work that a late plan does, and one without it does not, is no reason to rest.
    return { before, allowed, need: { ...score, handsOnMinutes: 0, expiredBags: 0 } };
  };
  const stood = [...setting.history, ...ahead];
  const without = pointOf(stood, repaired(setting, stood));
  const stands = new Set(without.allowed.map(signOf));
  // Tests come with what needs them, swaps with their fills.
  const stays = (one: Activity) => one.kind === 'test' || one.kind === 'swap' || stands.has(signOf(one));
  if (overdue.length === 0 && ahead.every(stays)) return without;
  const caught = caughtUp(setting, ahead, overdue);
  const fewer = fillsIn(caught) < fillsIn([...setting.history, ...ahead, ...overdue]);
  const late = [pointOf(caught, repaired(setting, caught)), pointOf(caught, caught)];
  if (fewer) {
    for (const joined of JOINED.map((minutes) => joinedAt(setting.now + minutes, caught, stood)))
      late.push(pointOf(joined, repaired(setting, joined)));
    for (const way of caughtUpFirst(setting, ahead, overdue)) late.push(pointOf(way, way));
  }
  return [...late, without].reduce((best, one) => (compareScores(one.need, best.need) < 0 ? one : best));
}

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

/** Of a plan by the rules alone, what is left under stricter ones; what is pinned stays all the same. */
function tightened(problem: Problem, allowed: readonly Activity[], pinned: readonly Activity[]): Activity[] {
  const signs = new Set(pinned.map((one) => JSON.stringify(one)));
  const later = allowed.filter((one) => !signs.has(JSON.stringify(one)));
  return repaired(settingOf(problem, pinned, problem.now), [...pinned, ...later]);
}

/** What is under way, and what begins before a minute with all that goes with it; duties that begin later stay free to move. */
function pinnedIn(stands: readonly Activity[], ended: readonly Activity[], until: number): Activity[] {
  const pinned = historyOf(stands, until);
  const signs = new Set(pinned.map((one) => JSON.stringify(one)));
  return [...pinned, ...ended.filter((one) => !signs.has(JSON.stringify(one)))];
}
