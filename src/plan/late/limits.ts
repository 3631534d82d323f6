import type { Machine, Problem } from '../../scenario/problem/types.ts';
import type { Activity } from '../plan.ts';
import { dutyOf, isFlow, movedOf, onMachine, type Standing } from './standing.ts';

/** What keeps an activity from being later still. */
export type LimitKind =
  /** The bags of its fill hold the most they may. */
  | 'fill window'
  /** The next thing on its machine begins. */
  | 'next on the machine'
  /** The machine is unavailable from then on. */
  | 'availability'
  /** The plan ends. */
  | 'horizon'
  /** Its circuit has reached its age. */
  | 'circuit'
  /** There are too few technicians, walking included. */
  | 'technicians'
  /** The source gives no more. */
  | 'water'
  /** What runs then has no test that holds. */
  | 'test'
  /** A duty is at the machine or the source. */
  | 'duty'
  /** The duty itself may begin no later. */
  | 'slack'
  /** A longer fill takes more of a supply than there is. */
  | 'supply'
  /** Bags would come too late for a bag round, or for the stock wanted. */
  | 'round';

export interface LatestLimit {
  readonly kind: LimitKind;
  /** The minute at which the limit stands: the end of the window or circuit, the next start, the round. */
  readonly at: number;
  /** By so many minutes the activity can be later before the limit is passed. */
  readonly later: number;
}

/** Limits that stand at one known minute each. */
export function standingLimits(standing: Standing, index: number): LatestLimit[] {
  const { problem } = standing;
  const { own, last } = movedOf(standing.activities, index);
  const limits: LatestLimit[] = [
    { kind: 'horizon', at: problem.horizon, later: problem.horizon - last.end },
    ...nextLimit(standing, index),
  ];
  if (own.kind === 'duty') {
    const slack = dutyOf(problem, own)?.slack ?? 0;
    limits.push({ kind: 'slack', at: own.at + slack, later: own.at + slack - own.start });
  }
  if (own.kind === 'test' || own.kind === 'duty') return limits;
  const machine = problem.machines.find(({ id }) => id === own.machine);
  if (machine)
    limits.push(...windowLimits(standing, index, machine), ...circuitLimits(standing, index, machine));
  if (machine && own.kind === 'swap') limits.push(...longerLimits(standing, index, machine));
  return limits;
}

function nextLimit(standing: Standing, index: number): LatestLimit[] {
  const { own, last } = movedOf(standing.activities, index);
  if (own.kind === 'test' || own.machine === undefined) return [];
  const { machine } = own;
  const starts = standing.activities.flatMap((one) =>
    one !== own && one !== last && onMachine(one, machine) && one.start >= last.end ? [one] : [],
  );
  const next = starts.reduce<Activity | null>((a, b) => (a && a.start <= b.start ? a : b), null);
  if (!next) return [];
  const kind = next.kind === 'duty' ? 'duty' : 'next on the machine';
  return [{ kind, at: next.start, later: next.start - last.end }];
}

/** Each thing that moves must stay in one available time; where two overlap the later one takes over. */
function windowLimits(standing: Standing, index: number, { windows }: Machine): LatestLimit[] {
  const { own, fill, last } = movedOf(standing.activities, index);
  const parts = [...new Set([own, fill ?? own, last])];
  return parts.flatMap((part) => {
    // A fill that a later swap makes longer stays where it began.
    const from = part === fill && own.kind === 'swap' ? () => part.start : (by: number) => part.start + by;
    let by = -1;
    let to = part.end - 1;
    for (;;) {
      const within = windows.filter((w) => w.from <= from(by + 1) && part.end + by + 1 <= w.to);
      const furthest = Math.max(to, ...within.map((w) => w.to));
      if (within.length === 0 || furthest - part.end <= by) break;
      to = furthest;
      by = to - part.end;
    }
    return by < 0 ? [] : [{ kind: 'availability' as const, at: to, later: by }];
  });
}

function circuitLimits({ problem, activities }: Standing, index: number, machine: Machine): LatestLimit[] {
  const { own, last } = movedOf(activities, index);
  if (own.kind === 'circuit') return [];
  const begun = activities.flatMap((one) =>
    one.kind === 'circuit' && one.machine === machine.id && one.start <= own.start ? [one.start] : [],
  );
  const since = begun.length > 0 ? Math.max(...begun) : machine.loaded?.since;
  if (since === undefined) return [];
  const at = since + problem.rules.circuitLife;
  return [{ kind: 'circuit', at, later: at - last.end }];
}

/** A later swap makes its fill longer: no longer than its bags may hold, and no more of a supply than there is. */
function longerLimits(standing: Standing, index: number, machine: Machine): LatestLimit[] {
  const { fill } = movedOf(standing.activities, index);
  if (fill?.kind !== 'fill') return [];
  const { problem } = standing;
  const full = fill.start + machine.longest;
  const bath = problem.baths.indexOf(fill.bath);
  const number = problem.machines.indexOf(machine);
  const short = problem.supplies.flatMap((supply): LatestLimit[] => {
    const perMinute = supply.perMinute[number] ?? 0;
    if (perMinute <= 0 || (supply.bath !== null && supply.bath !== bath)) return [];
    const left = leastLeft(standing, supply, fill.start);
    return [{ kind: 'supply', at: fill.start, later: Math.floor(left / perMinute) }];
  });
  return [{ kind: 'fill window', at: full, later: full - fill.end }, ...short];
}

/** The least that is left of a supply at any minute from one on, in its units. */
function leastLeft(
  { problem, activities }: Standing,
  supply: Problem['supplies'][number],
  from: number,
): number {
  const numbers = new Map(problem.machines.map(({ id }, index) => [id, index]));
  const changes = supply.deliveries.map(({ at, quantity }) => ({ at, units: quantity }));
  for (const one of activities) {
    if (!isFlow(one) || (supply.bath !== null && problem.baths[supply.bath] !== one.bath)) continue;
    const apiece = one.kind === 'circuit' ? supply.perCircuit : one.kind === 'fill' ? supply.perFill : 0;
    const perMinute = supply.perMinute[numbers.get(one.machine) ?? -1] ?? 0;
    changes.push({ at: one.start, units: -apiece - perMinute * (one.end - one.start) });
  }
  const sums = new Map<number, number>();
  for (const { at, units } of changes) sums.set(at, (sums.get(at) ?? 0) + units);
  let left = supply.onHand;
  let least = Number.POSITIVE_INFINITY;
  let before = supply.onHand;
  for (const [at, units] of [...sums].sort(([a], [b]) => a - b)) {
    if (at > from) least = Math.min(least, before);
    left += units;
    before = left;
    if (at >= from) least = Math.min(least, left);
  }
  return Math.min(least, before);
}
