import type { Activity } from '../../plan/plan.ts';
import { MINUTES_A_DAY, type Problem, type Supply } from '../../scenario/problem/types.ts';

/** The same problem with one limit relaxed: what the search for explanations plans again. */

/**
 * `more` machines like machine number `like`, there all the time and without a circuit; its duties are done at each of them
 * too, whenever they fit on the day.
 */
export function withMachines(problem: Problem, like: number, more: number): Problem {
  const model = problem.machines[like]!;
  const windows = [{ from: 0, to: problem.horizon }];
  const copies = Array.from({ length: more }, (_, index) => ({
    ...model,
    id: `${model.id} + ${index + 1}`,
    loaded: null,
    windows,
  }));
  return {
    ...problem,
    machines: [...problem.machines, ...copies],
    duties: [
      ...problem.duties,
      ...problem.duties.flatMap((duty) =>
        duty.place?.kind === 'machine' && duty.place.index === like
          ? copies.map((_, index) => ({
              ...duty,
              id: `${duty.id} + ${index + 1}`,
              place: { kind: 'machine', index: problem.machines.length + index } as const,
              early: MINUTES_A_DAY / 2,
              slack: duty.slack + MINUTES_A_DAY / 2,
            }))
          : [],
      ),
    ],
    supplies: problem.supplies.map((supply) => ({
      ...supply,
      perMinute: [...supply.perMinute, ...copies.map(() => supply.perMinute[like]!)],
    })),
  };
}

/** `more` technicians on shift in minutes from..to-1. */
export function withTechnicians(problem: Problem, more: number, from: number, to: number): Problem {
  const staff = problem.staff.slice();
  for (let t = Math.max(0, from); t < Math.min(problem.horizon, to); t++) staff[t]! += more;
  return { ...problem, staff, shifts: [...problem.shifts, { shift: 'more', from, to, technicians: more }] };
}

/** `more` mL/min from water source number `source`, in thousandths: the planner counts in as many decimals as it is told. */
export function withWater(problem: Problem, source: number, more: number): Problem {
  const raised = (capacity: number) => Math.round(1000 * (capacity + more)) / 1000;
  const water = problem.water.map((row, index) =>
    index === source
      ? {
          ...row,
          capacity: raised(row.capacity),
          capacities: row.capacities.map((step) => ({ ...step, capacity: raised(step.capacity) })),
        }
      : row,
  );
  return { ...problem, water };
}

/** Each occurrence of duty number `duty` may begin up to `by` minutes sooner or later. */
export const withDutyMoved = (problem: Problem, duty: number, by: number): Problem => ({
  ...problem,
  duties: problem.duties.map((row, index) =>
    index === duty ? { ...row, early: by, slack: row.slack + by } : row,
  ),
});

/** Bags leave once they are off the machine and released, whenever its water is tested. */
export const withoutRelease = (problem: Problem): Problem => ({
  ...problem,
  rules: { ...problem.rules, releaseAfterTest: false },
});

/** A test of water source number `source` that has ended as planning begins. */
export const withFirstTest = (problem: Problem, source: number): Problem => ({
  ...problem,
  water: problem.water.map((row, index) => (index === source ? { ...row, lastTest: problem.now } : row)),
});

/** Each water test may come `more` minutes later. */
export const withTestsLater = (problem: Problem, more: number): Problem => ({
  ...problem,
  water: problem.water.map((row) => ({ ...row, testEvery: row.testEvery + more })),
});

/** Water that counts as tested all the time, whatever a duty does to it. */
export const withTestedWater = (problem: Problem): Problem => ({
  ...problem,
  duties: problem.duties.map((duty) => ({ ...duty, voidsTests: false })),
  water: problem.water.map((row) => ({ ...row, testEvery: 2 * problem.horizon, lastTest: problem.now })),
});

/** `more` units (1/scale of the item) of supply number `number` on hand at the start. */
export const withSupply = (problem: Problem, number: number, more: number): Problem => ({
  ...problem,
  supplies: problem.supplies.map((row, index) =>
    index === number ? { ...row, onHand: row.onHand + more } : row,
  ),
});

/** Bags of fills good for `shelf` minutes. */
export const withShelf = (problem: Problem, shelf: number): Problem => ({
  ...problem,
  rules: { ...problem.rules, shelf },
});

/** What a plan takes of a supply, in order of time: [minute, units]. */
function takenOf(
  problem: Problem,
  supply: Supply,
  activities: readonly Activity[],
): [minute: number, units: number][] {
  const numbers = new Map(problem.machines.map(({ id }, index) => [id, index]));
  const taken: [number, number][] = [];
  for (const activity of activities) {
    if (activity.kind === 'swap' || activity.kind === 'test' || activity.kind === 'duty') continue;
    if (supply.bath !== null && problem.baths[supply.bath] !== activity.bath) continue;
    const apiece =
      activity.kind === 'circuit' ? supply.perCircuit : activity.kind === 'fill' ? supply.perFill : 0;
    const perMinute = supply.perMinute[numbers.get(activity.machine) ?? -1] ?? 0;
    const units = apiece + perMinute * (activity.end - activity.start);
    if (units > 0) taken.push([activity.start, units]);
  }
  return taken.sort(([a], [b]) => a - b);
}

/** Units that a plan takes beyond what is on hand and delivered at the worst moment, and the first minute of that. */
export function missingOf(
  problem: Problem,
  supply: Supply,
  activities: readonly Activity[],
): { units: number; by: number } {
  const changes = [
    ...supply.deliveries.map(({ at, quantity }): [number, number] => [at, quantity]),
    ...takenOf(problem, supply, activities).map(([at, units]): [number, number] => [at, -units]),
  ].sort(([a, x], [b, y]) => a - b || y - x);
  let left = supply.onHand;
  let units = 0;
  let by = problem.horizon;
  for (const [minute, change] of changes) {
    left += change;
    if (left < 0 && units === 0) by = minute;
    units = Math.max(units, -left);
  }
  return { units, by };
}
