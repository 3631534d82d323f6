import type { Problem, WaterSource } from '../../scenario/problem/types.ts';
import { capacityAt } from '../../scenario/problem/water.ts';
import type { Activity, DutyActivity } from '../plan.ts';
import { placeKey, workOf } from '../work.ts';
import type { LatestLimit } from './limits.ts';
import { delayed, dutyOf, type Moved, machineOf, type Standing, sourceOf } from './standing.ts';

type Broken = Pick<LatestLimit, 'kind' | 'at'>;
/** What breaks when an activity is so many minutes later, given that nothing did a minute sooner. */
export type Breaks = (by: number) => readonly Broken[];

/** Too few are there for what is done then, with the walks that a delay makes or saves; a fill begins only with somebody there. */
export function techniciansIn({ problem, activities, load }: Standing, moved: Moved, most: number): Breaks {
  const { own, last, index } = moved;
  const { staff, horizon } = problem;
  const key = placeKey(own);
  /** Others at the place change only whether they walk: those that a delay can touch. */
  const near = activities.filter(
    (one, i) =>
      i === index ||
      (key !== '' && placeKey(one) === key && one.end >= own.start && one.start <= last.end + most),
  );
  const work = workOf(problem, near);
  return (by) => {
    const change = new Map<number, number>();
    const count = (list: typeof work, sign: number) => {
      for (const { walkFrom, end, technicians } of list)
        for (let t = Math.max(0, walkFrom); t < Math.min(horizon, end); t++)
          change.set(t, (change.get(t) ?? 0) + sign * technicians);
    };
    count(work, -1);
    count(workOf(problem, delayed(near, near.indexOf(own), by)), 1);
    const start = own.start + by;
    if (own.kind === 'fill' && start < horizon && staff[start] === 0)
      return [{ kind: 'technicians', at: start }];
    const over = [...change].flatMap(([t, more]) => (more > 0 && load[t]! + more > staff[t]! ? [t] : []));
    return over.length === 0 ? [] : [{ kind: 'technicians', at: Math.min(...over) }];
  };
}

/** The one minute more in which it draws water, tests or is at the source: within what the source gives, and nobody in the way. */
export function waterIn(
  { problem, flow, shut, running, testing, drawing }: Standing,
  { own, fill }: Moved,
): Breaks {
  const source = sourceOf(problem, own);
  const water = problem.water[source];
  if (!water || (own.kind === 'swap' && !fill)) return () => [];
  const atSource = own.kind === 'duty' && own.water !== undefined;
  const drawn =
    own.kind === 'duty' ? (dutyOf(problem, own)?.flow ?? 0) : (machineOf(problem, own)?.flow ?? 0);
  return (by) => {
    const at = (fill ?? own).end + by - 1;
    if (at >= problem.horizon) return [];
    const broken: Broken[] = [];
    if (atSource && running[source]![at]! + testing[source]![at]! + drawing[source]![at]! > 0)
      broken.push({ kind: 'duty', at });
    if (!atSource && (drawn > 0 || own.kind === 'test') && shut[source]![at]! > 0)
      broken.push({ kind: 'duty', at });
    if (drawn > 0 && flow[source]![at]! + drawn > capacityAt(water, at) + 1e-6)
      broken.push({ kind: 'water', at });
    return broken;
  };
}

/** What runs has a test that holds, also when a test or what voids one is later. */
export function testsIn({ problem, activities, running }: Standing, { own, fill, index }: Moved): Breaks {
  const source = sourceOf(problem, own);
  if (!problem.water[source]) return () => [];
  const runs = running[source]!;
  const now = holdsIn(problem, source, activities);
  if (own.kind === 'duty') {
    if (!dutyOf(problem, own)?.voidsTests) return () => [];
    return (by) => {
      const then = holdsIn(problem, source, delayed(activities, index, by));
      const lost = runs.findIndex((count, t) => count > 0 && now(t) && !then(t));
      return lost < 0 ? [] : [{ kind: 'test', at: lost }];
    };
  }
  if (own.kind === 'test') {
    const others = holdsIn(problem, source, activities.toSpliced(index, 1));
    return (by) => {
      const at = own.end + by - 1;
      return (runs[at] ?? 0) > 0 && now(at) && !others(at) ? [{ kind: 'test', at }] : [];
    };
  }
  const part = own.kind === 'swap' ? fill : own;
  if (!part) return () => [];
  return (by) => {
    const at = part.end + by - 1;
    return at < problem.horizon && !now(at) ? [{ kind: 'test', at }] : [];
  };
}

/** Whether a minute of a source has a test that ended by then, still holds, and that no duty has voided. */
export function holdsIn(
  problem: Problem,
  source: number,
  activities: readonly Activity[],
): (minute: number) => boolean {
  const { id, testEvery, lastTest } = problem.water[source] as WaterSource;
  const ends = activities.flatMap((a) => (a.kind === 'test' && a.water === id ? [a.end] : []));
  if (lastTest !== null) ends.push(lastTest);
  const voids = activities.filter(
    (a): a is DutyActivity => a.kind === 'duty' && a.water === id && dutyOf(problem, a)?.voidsTests === true,
  );
  return (minute) =>
    ends.some(
      (end) =>
        end <= minute &&
        minute <= end + testEvery &&
        !voids.some((duty) => end < duty.end && duty.start <= minute),
    );
}
