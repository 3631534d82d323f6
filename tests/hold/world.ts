import { demandOf } from '../../src/demand/demand.ts';
import type { Tried } from '../../src/hold/hold.ts';
import type { Variation } from '../../src/hold/variation.ts';
import type { Activity } from '../../src/plan/plan.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, tinyWorld } from '../world.ts';

/** Nothing goes wrong. */
export const QUIET: Variation = {
  slower: 0,
  swapLate: 0,
  away: { perDay: 0, minutes: 0 },
  down: { perDay: 0, minutes: 0 },
  testFails: 0,
};

/** One bed that needs bags of one round only, 06:00, and one machine with a circuit: 65 to 75 min a fill (common practice, no source). */
export const world = (changes: Partial<Scenario> = {}): Scenario =>
  tinyWorld({
    patients: [{ id: 'bed-1', weight: 80, dose: 20, bath: '2K', from: at(420), until: at(700) }],
    machines: [
      { id: 'M1', flow: 800, positions: 8, water: 'RO', loaded: { bath: '2K', circuitSince: at(-60) } },
    ],
    water: [{ id: 'RO', capacity: 1600, testEvery: 600, testMinutes: 10, lastTest: at(0) }],
    rules: { rounds: ['06:00', '14:00'] },
    ...changes,
  });

export const tried = (scenario: Scenario, activities: readonly Activity[]): Tried => {
  const problem = compile(scenario);
  return { problem, demand: demandOf(problem), activities, until: problem.horizon };
};
