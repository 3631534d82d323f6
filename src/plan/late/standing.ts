import { demandOf } from '../../demand/demand.ts';
import type { Machine, Problem } from '../../scenario/problem/types.ts';
import { cover, lotsOfFills, scoreOf } from '../cover.ts';
import type { Activity, DutyActivity, Score } from '../plan.ts';
import { workOf } from '../work.ts';

type OnMachine = Extract<Activity, { kind: 'circuit' | 'bath' | 'fill' | 'swap' }>;
type Fill = Extract<OnMachine, { kind: 'circuit' | 'bath' | 'fill' }>;

/** The plan minute by minute, made once for all its activities. */
export interface Standing {
  readonly problem: Problem;
  readonly activities: readonly Activity[];
  /** Technicians at work or walking. */
  readonly load: Int32Array;
  /** By source: mL/min drawn, by machines and duties. */
  readonly flow: readonly Float64Array[];
  /** By source: machines that run, duties of machines that draw, tests and duties under way. */
  readonly running: readonly Int16Array[];
  readonly drawing: readonly Int16Array[];
  readonly testing: readonly Int16Array[];
  readonly shut: readonly Int16Array[];
  readonly score: Score;
}

export const isFlow = (activity: Activity): activity is Fill =>
  activity.kind === 'circuit' || activity.kind === 'bath' || activity.kind === 'fill';
export const onMachine = (activity: Activity, machine: string): boolean =>
  'machine' in activity && activity.machine === machine;

function add(to: Int16Array | Int32Array | Float64Array, from: number, until: number, amount: number): void {
  for (let t = Math.max(0, from); t < Math.min(to.length, until); t++) to[t]! += amount;
}

/** Number of the source that an activity concerns; -1: none. */
export function sourceOf({ machines, water }: Problem, activity: Activity): number {
  if ('water' in activity && activity.water !== undefined)
    return water.findIndex(({ id }) => id === activity.water);
  const machine = 'machine' in activity ? activity.machine : undefined;
  return machines.find(({ id }) => id === machine)?.water ?? -1;
}

export function standingOf(problem: Problem, activities: readonly Activity[]): Standing {
  const { horizon, water } = problem;
  const load = new Int32Array(horizon);
  for (const { walkFrom, end, technicians } of workOf(problem, activities))
    add(load, walkFrom, end, technicians);
  const each = () => water.map(() => new Int16Array(horizon));
  const [running, drawing, testing, shut] = [each(), each(), each(), each()];
  const flow = water.map(() => new Float64Array(horizon));
  const flows = new Map(problem.machines.map((machine) => [machine.id, machine.flow]));
  for (const one of activities) {
    const source = sourceOf(problem, one);
    if (source < 0) continue;
    const { start, end } = one;
    if (isFlow(one)) {
      add(running[source]!, start, end, 1);
      add(flow[source]!, start, end, flows.get(one.machine) ?? 0);
    } else if (one.kind === 'test') add(testing[source]!, start, end, 1);
    else if (one.kind === 'duty') {
      const drawn = dutyOf(problem, one)?.flow ?? 0;
      add(flow[source]!, start, end, drawn);
      if (one.water !== undefined) add(shut[source]!, start, end, 1);
      else if (drawn > 0) add(drawing[source]!, start, end, 1);
    }
  }
  const demand = demandOf(problem);
  const score = scoreOf(problem, activities, cover(problem, demand, lotsOfFills(problem, activities)));
  return { problem, activities, load, flow, running, drawing, testing, shut, score };
}

export const dutyOf = ({ duties }: Problem, { duty }: DutyActivity) => duties.find(({ id }) => id === duty);

export const machineOf = ({ machines }: Problem, activity: Activity): Machine | undefined =>
  'machine' in activity ? machines.find(({ id }) => id === activity.machine) : undefined;

/** What moves along: the plan with one activity so many minutes later. */
export function delayed(activities: readonly Activity[], index: number, by: number): Activity[] {
  const own = activities[index]!;
  return activities.map((one, i): Activity => {
    if (i === index) return { ...one, start: one.start + by, end: one.end + by };
    if (own.kind === 'fill' && one.kind === 'swap' && one.machine === own.machine && one.start === own.end)
      return { ...one, start: one.start + by, end: one.end + by };
    if (own.kind === 'swap' && one.kind === 'fill' && one.machine === own.machine && one.end === own.start)
      return { ...one, end: one.end + by };
    return one;
  });
}

/** What a delay moves. */
export interface Moved {
  readonly index: number;
  readonly own: Activity;
  /** The fill that is meant, or that a swap ends. */
  readonly fill: Activity | null;
  /** What ends last of it: of a fill its swap. */
  readonly last: Activity;
}

export function movedOf(activities: readonly Activity[], index: number): Moved {
  const own = activities[index]!;
  if (own.kind === 'fill') {
    const swap = activities.find(
      (a) => a.kind === 'swap' && a.machine === own.machine && a.start === own.end,
    );
    return { index, own, fill: own, last: swap ?? own };
  }
  if (own.kind !== 'swap') return { index, own, fill: null, last: own };
  const fill = activities.find((a) => a.kind === 'fill' && a.machine === own.machine && a.end === own.start);
  return { index, own, fill: fill ?? null, last: own };
}
