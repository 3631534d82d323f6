import type { Activity } from '../plan/plan.ts';
import type { Scenario } from '../scenario/schema.ts';

type Named = readonly { readonly id: string }[];

/** Old name -> new name of rows whose name alone was typed anew: same place in the list, the old name gone, the new one new. */
export function renames(before: Named, after: Named): Map<string, string> {
  if (before.length !== after.length) return new Map();
  const [old, now] = [new Set(before.map(({ id }) => id)), new Set(after.map(({ id }) => id))];
  return new Map(
    before.flatMap(({ id }, index) => {
      const name = after[index]!.id;
      return now.has(id) || old.has(name) ? [] : [[id, name] as const];
    }),
  );
}

/** A plan's activities under the names that an edit gave to machines, water sources and baths. */
export function renamed(
  before: Scenario,
  after: Scenario,
  activities: readonly Activity[],
): readonly Activity[] {
  const machines = renames(before.machines, after.machines);
  const water = renames(before.water, after.water);
  const baths = renames(before.baths, after.baths);
  if (machines.size + water.size + baths.size === 0) return activities;
  return activities.map((activity): Activity => {
    if (activity.kind === 'test') return { ...activity, water: water.get(activity.water) ?? activity.water };
    if (activity.kind === 'duty')
      return {
        ...activity,
        ...(activity.machine != null && { machine: machines.get(activity.machine) ?? activity.machine }),
        ...(activity.water != null && { water: water.get(activity.water) ?? activity.water }),
      };
    const machine = machines.get(activity.machine) ?? activity.machine;
    if (activity.kind === 'swap') return { ...activity, machine };
    return { ...activity, machine, bath: baths.get(activity.bath) ?? activity.bath };
  });
}
