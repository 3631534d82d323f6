import { expect } from 'vitest';
import { auditPlan } from '../../src/audit/audit.ts';
import { explainNeeds, plan, type Shortage } from '../../src/planner/plan.ts';
import type { Planner } from '../../src/planner/planner.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at } from '../world.ts';

/**
 * 82 kg x 25 mL/kg/h = 2.05 L/h: bags of 6.5 L hang at 0, 190, 380 (opening round), 570, 760, 951 (round at 6:00),
 * 1141, 1331 (round at 18:00). So each patient wants 3, 3 and 2 bags.
 */
export const patients = (count: number) =>
  Array.from({ length: count }, (_, index) => ({ id: `bed-${index + 1}`, weight: 82, dose: 25, bath: '2K' }));
export const opening = (count: number) => ({
  lot: 'S-1',
  bath: '2K',
  bags: 3 * count,
  litres: 6.5,
  expires: at(420),
});
export const water = (changes: Partial<Scenario['water'][number]> = {}) => [
  { id: 'RO', capacity: 1600, testEvery: 1440, testMinutes: 10, lastTest: at(0), ...changes },
];
export const staffed = (to: string) => [{ id: 'early', from: '00:00', to, technicians: 1 }];

/** Every plan made on the way is valid for the problem that it was made for. */
export const checked: Planner = async (problem, options) => {
  const made = await plan(problem, options);
  expect(auditPlan(problem, made).violations).toEqual([]);
  return made;
};

export async function explained(
  world: Scenario,
  replan: Planner = checked,
): Promise<{ problem: Problem; shortages: Shortage[] }> {
  const problem = compile(world);
  const made = await plan(problem, { tries: 300 });
  return { problem, shortages: await explainNeeds(problem, made, replan) };
}
export const brief = ({ reliefs }: Shortage) =>
  reliefs.map(({ limit, quantity, after, effect }) => [limit, quantity, after, effect] as const);
export const ofLimit = (shortage: Shortage | undefined, limit: string) =>
  shortage!.reliefs.filter((relief) => relief.limit === limit);
