import type { Problem } from '../scenario/problem/types.ts';

type Clock = Problem['clock'];

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
