import { demandOf, type Hang } from '../../src/demand/demand.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import type { Patient, Scenario } from '../../src/scenario/schema.ts';

const ZERO = Date.UTC(2031, 1, 3, 7);
/** Local time so many minutes after the start, in UTC. */
export const at = (minute: number): string => new Date(ZERO + minute * 60_000).toISOString().slice(0, 16);

/** One invented patient at exactly 1 L/h (100 kg x 10 mL/kg/h), so that a 6.5 L bag lasts 6.5 h, and nothing else. */
export const scenarioOf = (row: Partial<Patient> = {}, change: Partial<Scenario> = {}): Scenario => ({
  format: 'bathtide-scenario',
  version: 1,
  title: 'One patient (invented)',
  timeZone: 'UTC',
  start: at(0),
  days: 2,
  baths: [{ id: '2K' }, { id: '4K' }],
  patients: [{ id: 'bed-01', weight: 100, dose: 10, bath: '2K', ...row }],
  machines: [],
  water: [],
  shifts: [],
  ...change,
});
export const problemOf = (row: Partial<Patient> = {}, change: Partial<Scenario> = {}): Problem =>
  compile(scenarioOf(row, change));

/** Bath and minute of each bag hung, e.g. '2K 0'. */
export function hung(row: Partial<Patient> = {}, change: Partial<Scenario> = {}): string[] {
  const problem = problemOf(row, change);
  return demandOf(problem).hangs[0]!.map(({ bath, minute }: Hang) => `${problem.baths[bath]} ${minute}`);
}
