import type { Clock } from '../calendar/clock.ts';

/** Lengths of the clock changes there are, min. */
const CHANGES = [60, 30, 20, 40, 120];

/**
 * The minute of a local time; of one that a clock change repeats the first, or with `again` the second.
 * @returns minutes from the scenario's start
 */
export function minuteOf(clock: Clock, local: string, again = false): number {
  const first = clock.minuteOf(local);
  if (!again) return first;
  const later = CHANGES.find((gap) => clock.localOf(first + gap) === local.slice(0, 16));
  return first + (later ?? 0);
}

/** The local time of a minute as an entry says it; `again` for the second time of a repeated hour. */
export const entryTime = (clock: Clock, minute: number): { at: string; again?: true } => {
  const at = clock.localOf(minute);
  return clock.minuteOf(at) < minute ? { at, again: true } : { at };
};

/**
 * The times of an outage as an entry says them. Its `again` is also the end's: from the first time of a repeated hour, an end
 * that would be no later means the second time (`untilOf`).
 * @param until minute; null: nobody knows
 */
export function outTimes(clock: Clock, from: number, until: number | null) {
  const begin = entryTime(clock, from);
  if (until === null) return begin;
  const end = entryTime(clock, until);
  const again = end.again && clock.oddity(begin.at) === null && { again: true as const };
  return { ...begin, until: end.at, ...again };
}

/** The minute until which an outage lasts that began at a minute: where a clock change repeats that hour, one after its begin. */
export function untilOf(clock: Clock, until: string, again: boolean, at: number): number {
  const minute = minuteOf(clock, until, again);
  return minute > at ? minute : minuteOf(clock, until, true);
}

/** The minute at which a set-up began: where a clock change repeats that hour, the time that is not after it was in place. */
export function beganAt(clock: Clock, began: string, again: boolean, at: number): number {
  const minute = minuteOf(clock, began, again);
  return minute <= at ? minute : minuteOf(clock, began);
}
