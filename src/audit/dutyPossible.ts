import type { Activity } from '../plan/plan.ts';
import { placeKey, workOf } from '../plan/work.ts';
import type { Duty } from '../scenario/problem/types.ts';
import type { Facts } from './facts.ts';

/**
 * Whether a duty that a plan of a day under way leaves out could have been done: at some minute of its slack from now on
 * its place is free of what has begun and of other duties, and enough people are on shift beside those. Work that is not
 * yet begun does not count: it could have waited.
 */
export function dutyPossible(facts: Facts, duty: Duty, at: number): boolean {
  const { problem, sound } = facts;
  const { now, staff, rules, horizon } = problem;
  const begun = sound.filter((one) => one.start < now || one.kind === 'duty');
  const ends = new Set(begun.flatMap((one) => (one.kind === 'fill' ? `${placeKey(one)} ${one.end}` : [])));
  const fixed = [
    ...begun,
    ...sound.filter(
      (one) => one.kind === 'swap' && one.start >= now && ends.has(`${placeKey(one)} ${one.start}`),
    ),
  ];
  const work = workOf(problem, fixed);
  const held = new Int16Array(horizon);
  for (const { walkFrom, end, technicians } of work)
    for (let t = Math.max(0, walkFrom); t < Math.min(horizon, end); t++) held[t]! += technicians;
  const there = placeOfDuty(facts, duty);
  const walked = (start: number) =>
    work.some(({ index, end }) => end === start && placeKey(fixed[index]!) === there);
  const inTheWay = fixed.filter((one) => isThere(facts, one, duty));
  for (let start = Math.max(now, at - (duty.early ?? 0)); start <= at + duty.slack; start++) {
    const end = start + duty.minutes;
    if (inTheWay.some((one) => one.start < end && one.end > start)) continue;
    const walk = walked(start) ? 0 : rules.walkMinutes;
    let t = duty.technicians === 0 ? end : Math.max(now, start - walk);
    while (t < end && staff[t]! - held[t]! >= duty.technicians) t++;
    if (t >= end) return true;
  }
  return false;
}

/** As `placeKey` says it; null: nowhere. */
const placeOfDuty = (facts: Facts, duty: Duty): string | null =>
  duty.place && `${duty.place.kind} ${facts.placeOfDuty(duty)}`;

/** Whether an activity takes the duty's place: its machine, or of its source a test or a machine with water. */
function isThere(facts: Facts, one: Activity, { place }: Duty): boolean {
  if (place === null) return false;
  if (place.kind === 'machine') return facts.machineNumber(one) === place.index;
  if (one.kind === 'test') return facts.sourceNumber(one) === place.index;
  if (one.kind === 'swap' || one.kind === 'duty') return false;
  return facts.machine(one)?.water === place.index;
}
