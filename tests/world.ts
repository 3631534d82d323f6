import type { Activity } from '../src/plan/plan.ts';
import type { Scenario } from '../src/scenario/schema.ts';

/** Minutes after midnight of the tiny world's first day as a local time, e.g. at(90) = 2031-02-03T01:30. */
export const at = (minute: number): string =>
  new Date(Date.UTC(2031, 1, 3) + minute * 60_000).toISOString().slice(0, 16);

/**
 * One day, one machine, one technician, one bath in use: 8 bags x 6.5 L at 800 mL/min take 65 to 75 minutes (common
 * practice, no source). The water was tested at minute 0. Nobody needs a bag, so only the plan itself is on trial.
 */
export const tinyWorld = (changes: Partial<Scenario> = {}): Scenario => ({
  format: 'bathtide-scenario',
  version: 1,
  title: 'Tiny world (invented)',
  timeZone: 'UTC',
  start: at(0),
  days: 1,
  baths: [{ id: '2K' }, { id: '4K' }],
  patients: [],
  machines: [{ id: 'M1', flow: 800, positions: 8, water: 'RO' }],
  water: [{ id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: at(0) }],
  shifts: [{ id: 'all day', from: '00:00', to: '00:00', technicians: 1 }],
  ...changes,
});

export const circuit = (start: number, bath = '2K', machine = 'M1', minutes = 30): Activity => ({
  kind: 'circuit',
  machine,
  bath,
  start,
  end: start + minutes,
});
export const bathChange = (start: number, bath = '4K', machine = 'M1', minutes = 10): Activity => ({
  kind: 'bath',
  machine,
  bath,
  start,
  end: start + minutes,
});
export const fill = (start: number, bath = '2K', machine = 'M1', minutes = 65): Activity => ({
  kind: 'fill',
  machine,
  bath,
  start,
  end: start + minutes,
});
export const swap = (start: number, machine = 'M1', minutes = 8): Activity => ({
  kind: 'swap',
  machine,
  start,
  end: start + minutes,
});
export const test = (start: number, water = 'RO', minutes = 10): Activity => ({
  kind: 'test',
  water,
  start,
  end: start + minutes,
});
/** A fill with its swap. */
export const batch = (start: number, bath = '2K', machine = 'M1', minutes = 65): Activity[] => [
  fill(start, bath, machine, minutes),
  swap(start + minutes, machine),
];

/** One occurrence of a duty, at a machine, at water, or nowhere. */
export const duty = (
  id: string,
  due: number,
  {
    start = due,
    minutes = 30,
    ...place
  }: { start?: number; minutes?: number; machine?: string; water?: string } = {},
): Activity => ({ kind: 'duty', duty: id, at: due, ...place, start, end: start + minutes });
