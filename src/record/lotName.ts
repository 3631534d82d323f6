import type { Clock } from '../calendar/clock.ts';

/**
 * The name of the lot that a fill makes: machine and local begin of the fill, with -2 for the second one of an hour that
 * a clock change repeats.
 * @param start minute at which filling began
 * @returns e.g. 'M1 2031-02-03 09:15'
 */
export function lotName(clock: Clock, machine: string, start: number): string {
  const local = clock.localOf(start);
  const second = clock.minuteOf(local) < start ? '-2' : '';
  return `${machine} ${local.replace('T', ' ')}${second}`;
}

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
