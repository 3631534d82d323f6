import { demandOf } from '../../src/demand/demand.ts';
import { cover, lotsOfFills } from '../../src/plan/cover.ts';
import { type Activity, inOrder } from '../../src/plan/plan.ts';
import { planByHand } from '../../src/planner/plan.ts';
import type { Known } from '../../src/reports/trace.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

/** A scenario with all that a screen knows of it; planned by hand unless activities are given. */
export function known(scenario: Scenario, given?: readonly Activity[]): Known {
  const problem = compile(scenario);
  const demand = demandOf(problem);
  const activities = inOrder(given ?? planByHand(problem));
  const covered = cover(problem, demand, lotsOfFills(problem, activities));
  return { scenario, problem, demand, activities, covered };
}

/** An invented pair of days: a change of bath and dose, short stock that expires, a reserve, supplies with a delivery. */
export const twoDays = (changes: Partial<Scenario> = {}): Scenario => ({
  format: 'bathtide-scenario',
  version: 1,
  title: 'Two invented days',
  timeZone: 'America/Chicago',
  start: '2031-02-03T07:00',
  days: 2,
  baths: [{ id: '2K' }, { id: '4K' }],
  patients: [
    { id: 'bed-1', weight: 80, dose: 25, fluidRemoval: 100, replacement: 50, bath: '2K' },
    {
      id: 'bed-2',
      weight: 64.5,
      dose: 22.5,
      hoursPerDay: 20,
      bath: '2K',
      changes: [{ at: '2031-02-04T03:00', bath: '4K', dose: 30 }],
    },
    { id: 'bed-3', weight: 55, dose: 5, bath: '4K', until: '2031-02-04T20:00' },
    { id: 'bed-4', weight: 140, dose: 35, bath: '4K' },
  ],
  machines: [{ id: 'M1', flow: 800, positions: 8, water: 'RO' }],
  water: [{ id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10 }],
  shifts: [{ id: 'day', from: '07:00', to: '19:00', technicians: 1 }],
  stock: [
    { lot: 'S-1', bath: '2K', bags: 30, litres: 5, expires: '2031-02-03T21:00' },
    { lot: 'S-2', bath: '4K', bags: 3, litres: 6.5 },
  ],
  supplies: [
    { item: 'circuit', onHand: 4, perCircuit: 1 },
    { item: 'bag set', onHand: 5, perFill: 2, deliveries: [{ at: '2031-02-04T09:00', quantity: 6 }] },
    { item: 'acid 2K (L)', onHand: 40, perLitre: 0.02222, bath: '2K' },
  ],
  rules: { reserve: { '4K': 2 } },
  ...changes,
});
