import type { Activity } from '../../plan/plan.ts';
import { type Occupancy, STRIDE } from './occupancy.ts';
import { DUTY, FILL, GONE, KINDS, SWAP, TEST, type Work } from './work.ts';

/** Books these activities (valid among themselves) unasked, by start; those at unknown places are left out. */
export function assume(
  held: Occupancy,
  activities: readonly Activity[],
  each?: (work: Work, start: number, end: number) => void,
): void {
  const places = placesOf(held);
  if (activities.some((one) => strays(held, one, places))) held.flows.keepAll();
  const bathOf = new Map(held.problem.baths.map((b, i) => [b, i]));
  for (const activity of [...activities].sort((a, b) => a.start - b.start)) {
    const kind = KINDS.indexOf(activity.kind);
    const place = places.get(placeName(activity));
    if (place === undefined) continue;
    const bath = 'bath' in activity ? (bathOf.get(activity.bath) ?? -1) : -1;
    const work = { kind, place, bath, segment: -1 };
    held.commit(work, activity.start, activity.end);
    each?.(work, activity.start, activity.end);
  }
}

/** Whether a duty begins where it may no longer be: before now, or by a slack it had once. */
function strays(held: Occupancy, activity: Activity, places: ReadonlyMap<string, number>): boolean {
  const one = activity.kind === 'duty' ? places.get(placeName(activity)) : undefined;
  if (one === undefined) return false;
  const { from, latest, minutes } = held.duties.all[one]!;
  return activity.start < from || activity.end > latest + minutes;
}

/** Numbers of machines, sources and occurrences of duties by `placeName`. */
function placesOf(held: Occupancy): Map<string, number> {
  const { machines, water, duties } = held.problem;
  return new Map([
    ...machines.map(({ id }, m) => [`machine ${id}`, m] as const),
    ...water.map(({ id }, w) => [`water ${id}`, w] as const),
    ...held.duties.all.map(({ duty, due }, k) => [`duty ${duties[duty]!.id} ${due}`, k] as const),
  ]);
}

/**
 * The operations as a plan file lists them, without these fills (by operation) and their swaps, unless somebody who need
 * not walk after the swap then had to and cannot.
 */
export function activitiesOf(held: Occupancy, useless: readonly number[] = []): Activity[] {
  const { ops, count } = held;
  const startOf = (op: number) => ops[op * STRIDE + 3]!;
  const without = new Set<number>();
  for (const fill of [...useless].sort((a, b) => startOf(b) - startOf(a)))
    if (held.hands.walk === 0 || canGo(held, fill, without)) without.add(fill);
  const out = new Set([...without].map((i) => `${ops[i * STRIDE + 1]} ${ops[i * STRIDE + 4]}`));
  const list: Activity[] = [];
  for (let i = 0; i < count; i++) {
    const at = i * STRIDE;
    const kind = ops[at]!;
    const place = ops[at + 1]!;
    if (kind === GONE) continue;
    if (kind === FILL && out.has(`${place} ${ops[at + 4]}`)) continue;
    if (kind === SWAP && out.has(`${place} ${ops[at + 3]}`)) continue;
    list.push(activityOf(held, i));
  }
  return list;
}

function activityOf({ ops, problem, duties: placed }: Occupancy, op: number): Activity {
  const { machines, water, baths, duties } = problem;
  const at = op * STRIDE;
  const place = ops[at + 1]!;
  const start = ops[at + 3]!;
  const end = ops[at + 4]!;
  const kind = KINDS[ops[at]!] as Activity['kind'];
  if (kind === 'test') return { kind, water: water[place]!.id, start, end };
  if (kind !== 'duty') {
    const machine = machines[place]!.id;
    if (kind === 'swap') return { kind, machine, start, end };
    return { kind, machine, bath: baths[ops[at + 2]!]!, start, end };
  }
  const { duty, due, machine, water: source } = placed.all[place]!;
  return {
    kind,
    duty: duties[duty]!.id,
    at: due,
    ...(machine >= 0 && { machine: machines[machine]!.id }),
    ...(source >= 0 && { water: water[source]!.id }),
    start,
    end,
  };
}

/** Whether a fill and its swap may be left out although nobody walks to what the machine does right after them. */
function canGo(held: Occupancy, fill: number, gone: ReadonlySet<number>): boolean {
  const { ops, hands, count, duties, problem } = held;
  const at = fill * STRIDE;
  const m = ops[at + 1]!;
  const end = ops[at + 4]! + problem.rules.swapMinutes;
  for (let i = 0; i < count; i++) {
    const kind = ops[i * STRIDE]!;
    const place = ops[i * STRIDE + 1]!;
    const there = kind === DUTY ? duties.all[place]!.machine === m : kind < TEST && place === m;
    if (there && !gone.has(i) && ops[i * STRIDE + 3] === end && hands.of(kind, place) > 0) return false;
  }
  return true;
}

/** What tells an activity's place, or which occurrence it is, from others. */
function placeName(activity: Activity): string {
  if (activity.kind === 'duty') return `duty ${activity.duty} ${activity.at}`;
  return activity.kind === 'test' ? `water ${activity.water}` : `machine ${activity.machine}`;
}
