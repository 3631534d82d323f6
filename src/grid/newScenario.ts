import type { Scenario } from '../scenario/schema.ts';

/**
 * A scenario in which nothing is typed yet.
 * @param start local time, e.g. 2031-02-03T07:00
 * @param timeZone IANA name
 */
export const newScenario = (start: string, timeZone: string): Scenario => ({
  format: 'bathtide-scenario',
  version: 1,
  title: 'New scenario',
  timeZone,
  start,
  days: 7,
  baths: [],
  patients: [],
  machines: [],
  water: [],
  shifts: [],
});
