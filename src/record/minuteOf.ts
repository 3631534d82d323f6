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

/** The minute at which a set-up began: where a clock change repeats that hour, the time that is not after it was in place. */
export function beganAt(clock: Clock, began: string, again: boolean, at: number): number {
  const minute = minuteOf(clock, began, again);
  return minute <= at ? minute : minuteOf(clock, began);
}
