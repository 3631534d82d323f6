import type { Cover } from '../plan/cover.ts';
import { type Activity, fillsIn } from '../plan/plan.ts';
import { placeKey, workOf } from '../plan/work.ts';
import type { Machine, Problem, ShiftBand } from '../scenario/problem/types.ts';

/** A value from minute `at` until the next step. */
export interface Step {
  readonly at: number;
  readonly value: number;
}
interface Span {
  readonly from: number;
  readonly to: number;
}
/** One activity on a lane. */
export interface Bar extends Span {
  /** Index in the list of activities that the timeline was made of. */
  readonly index: number;
  readonly kind: Activity['kind'];
  /** Bath number, -1 for swaps, tests and duties. */
  readonly bath: number;
  /** Duties only: its name. */
  readonly duty?: string;
  /** Fills only: a technician must come at from + shortest .. this minute. */
  readonly shortestAt?: number;
  readonly longestAt?: number;
}
/** A machine that rests so long (min) has ended a run of fills. */
const REST = 240;
/** Fills of one bath that follow each other on one machine; a new circuit for the same bath does not end it, a long rest does. */
interface Campaign extends Span {
  readonly bath: number;
  readonly fills: number;
  readonly bags: number;
}
interface MachineLane {
  readonly id: string;
  readonly bars: readonly Bar[];
  readonly campaigns: readonly Campaign[];
  /** When the machine is not available. */
  readonly away: readonly Span[];
}
interface WaterLane {
  readonly id: string;
  /** What it gives, mL/min. */
  readonly capacity: readonly Step[];
  /** mL/min drawn. */
  readonly use: readonly Step[];
  /** Tests and duties at the source. */
  readonly bars: readonly Bar[];
}
export interface TimelineData {
  readonly horizon: number;
  readonly machines: readonly MachineLane[];
  readonly water: readonly WaterLane[];
  /** Duties without a place (breaks, work elsewhere), in as many rows as are under way at once. */
  readonly elsewhere: readonly (readonly Bar[])[];
  /** Technicians at work at machines and water sources; with those on a break or elsewhere; with those who walk, too. */
  readonly atWork: readonly Step[];
  readonly placed: readonly Step[];
  readonly load: readonly Step[];
  /** Technicians on shift. */
  readonly staff: readonly Step[];
  /** Minutes in which more technicians are held than are on shift: only a plan that fails its audit has any. */
  readonly over: readonly (Span & { readonly load: number; readonly staff: number })[];
  readonly bands: readonly ShiftBand[];
}

/** The sum of overlapping spans as steps from minute 0; neighbours of equal value are one step. */
export function stepsOf(spans: readonly (Span & { readonly value: number })[]): Step[] {
  const changes = new Map<number, number>([[0, 0]]);
  for (const { from, to, value } of spans) {
    const start = Math.max(0, from);
    changes.set(start, (changes.get(start) ?? 0) + value);
    changes.set(to, (changes.get(to) ?? 0) - value);
  }
  const steps: Step[] = [];
  let value = 0;
  for (const [at, change] of [...changes].sort((a, b) => a[0] - b[0])) {
    value += change;
    if (steps.at(-1)?.value !== value) steps.push({ at, value });
  }
  return steps;
}

/** The last item whose `from` (or `at`) is not after the minute, in a list sorted by it; -1 when none. */
export function lastFrom<T>(list: readonly T[], at: (item: T) => number, minute: number): number {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (at(list[middle]!) <= minute) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}

/** The value of steps in a minute; 0 before the first. */
export const valueAt = (steps: readonly Step[], minute: number): number =>
  steps[lastFrom(steps, (step) => step.at, minute)]?.value ?? 0;

function campaignsOf(bars: readonly Bar[], positions: number): Campaign[] {
  const campaigns: Campaign[] = [];
  for (const bar of bars) {
    if (bar.kind !== 'fill') continue;
    const last = campaigns.at(-1);
    if (last?.bath === bar.bath && bar.from - last.to < REST)
      campaigns[campaigns.length - 1] = {
        ...last,
        to: bar.to,
        fills: last.fills + 1,
        bags: last.bags + positions,
      };
    else campaigns.push({ bath: bar.bath, from: bar.from, to: bar.to, fills: 1, bags: positions });
  }
  return campaigns;
}

function overOf(load: readonly Step[], staff: readonly Step[]): TimelineData['over'] {
  return load.flatMap(({ at, value }, index) => {
    const to = load[index + 1]?.at ?? at;
    const first = Math.max(
      0,
      lastFrom(staff, (step) => step.at, at),
    );
    const parts: { from: number; to: number; load: number; staff: number }[] = [];
    for (let step = first; step < staff.length && staff[step]!.at < to; step++) {
      const part = { from: Math.max(at, staff[step]!.at), to: Math.min(to, staff[step + 1]?.at ?? to) };
      if (value > staff[step]!.value) parts.push({ ...part, load: value, staff: staff[step]!.value });
    }
    return parts;
  });
}

/** Bars in as few rows as it takes for none to lie on another. */
function rowsApart(bars: readonly Bar[]): Bar[][] {
  const rows: Bar[][] = [];
  for (const bar of bars) {
    const free = rows.find((row) => row.at(-1)!.to <= bar.from);
    if (free) free.push(bar);
    else rows.push([bar]);
  }
  return rows;
}

/** The bars of each place (`placeKey`; '' for none), in order of time. */
function barsByPlace(problem: Problem, activities: readonly Activity[]): (key: string) => Bar[] {
  const bathNumber = new Map(problem.baths.map((id, index) => [id, index]));
  const machines = new Map(problem.machines.map((machine) => [machine.id, machine]));
  const byPlace = new Map<string, Bar[]>();
  activities.forEach((activity, index) => {
    const { kind, start, end } = activity;
    const machine = kind === 'fill' ? machines.get(activity.machine) : undefined;
    const list = byPlace.get(placeKey(activity)) ?? [];
    byPlace.set(placeKey(activity), list);
    list.push({
      index,
      kind,
      bath: 'bath' in activity ? (bathNumber.get(activity.bath) ?? -1) : -1,
      from: start,
      to: end,
      ...(machine && { shortestAt: start + machine.shortest, longestAt: start + machine.longest }),
      ...(kind === 'duty' && { duty: activity.duty }),
    });
  });
  return (key) => (byPlace.get(key) ?? []).sort((a, b) => a.from - b.from || a.to - b.to);
}

function machineLane({ horizon }: Problem, machine: Machine, bars: readonly Bar[]): MachineLane {
  const away: Span[] = [];
  let free = 0;
  for (const { from, to } of [...machine.windows, { from: horizon, to: horizon }]) {
    if (from > free) away.push({ from: free, to: from });
    free = Math.max(free, to);
  }
  return { id: machine.id, bars, campaigns: campaignsOf(bars, machine.usable), away };
}

/** Water that each bar draws from a source, mL/min: a machine's while it runs, a duty's as typed. */
function drawn(problem: Problem, source: number, lanes: readonly MachineLane[], bars: readonly Bar[]) {
  const flows = new Map(problem.duties.toReversed().map((duty) => [duty.id, duty.flow]));
  const ofDuty = ({ from, to, duty = '' }: Bar) => ({ from, to, value: flows.get(duty) ?? 0 });
  return [
    ...bars.filter(({ kind }) => kind === 'duty').map(ofDuty),
    ...problem.machines.flatMap((machine, index) =>
      machine.water === source
        ? lanes[index]!.bars.filter(({ kind }) => kind !== 'swap').map((bar) =>
            bar.kind === 'duty' ? ofDuty(bar) : { from: bar.from, to: bar.to, value: machine.flow },
          )
        : [],
    ),
  ];
}

/** Technicians held, minute by minute: at work, on a break or elsewhere too, and walking too. */
function loadsOf(problem: Problem, activities: readonly Activity[]) {
  const pieces = workOf(problem, activities).map((piece) => ({
    ...piece,
    atPlace: placeKey(activities[piece.index]!) !== '',
  }));
  const held = (list: typeof pieces, begin: 'start' | 'walkFrom') =>
    stepsOf(list.map((piece) => ({ from: piece[begin], to: piece.end, value: piece.technicians })));
  return {
    atWork: held(
      pieces.filter(({ atPlace }) => atPlace),
      'start',
    ),
    placed: held(pieces, 'start'),
    load: held(pieces, 'walkFrom'),
  };
}

/**
 * Lanes, bars, loads and bands for the picture of a plan. Bars refer to activities by their place in the list given;
 * an activity on an unknown machine or source is left out (the audit names it).
 */
export function timelineOf(problem: Problem, activities: readonly Activity[]): TimelineData {
  const barsOf = barsByPlace(problem, activities);
  const machines = problem.machines.map((machine) =>
    machineLane(problem, machine, barsOf(`machine ${machine.id}`)),
  );
  const water = problem.water.map((source, number): WaterLane => {
    const bars = barsOf(`water ${source.id}`);
    return {
      id: source.id,
      capacity: source.capacities.map(({ from, capacity }) => ({ at: from, value: capacity })),
      bars,
      use: stepsOf(drawn(problem, number, machines, bars)),
    };
  });
  const staff: Step[] = [];
  problem.staff.forEach((value, at) => {
    if (staff.at(-1)?.value !== value) staff.push({ at, value });
  });
  const loads = loadsOf(problem, activities);
  return {
    horizon: problem.horizon,
    machines,
    water,
    elsewhere: rowsApart(barsOf('')),
    ...loads,
    staff,
    over: overOf(loads.load, staff),
    bands: problem.shifts,
  };
}

/** Where a fill's bags go. */
export interface Use {
  readonly round: number;
  readonly bags: number;
}

/**
 * The rounds that a fill's bags serve, and how many bags stay over.
 * @param index place of the fill in the activities that the cover was computed from
 */
export function usesOfFill(
  problem: Problem,
  activities: readonly Activity[],
  covered: Cover,
  index: number,
): { uses: Use[]; left: number } {
  const before = fillsIn(activities.slice(0, index));
  const lot = problem.lots.length + before;
  return {
    uses: covered.servings
      .filter((serving) => serving.lot === lot)
      .map(({ round, parts }) => ({ round, bags: parts / problem.bagParts })),
    left: (covered.left[lot] ?? 0) / problem.bagParts,
  };
}
