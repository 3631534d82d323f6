import type { Facts, OnMachine } from './facts.ts';

/** What a machine holds as an activity starts; null: no circuit in place. */
interface Loaded {
  readonly bath: string;
  readonly since: number;
}

/** Walks each machine's activities in order, telling what circuit and bath each one finds. A duty may end the circuit. */
export function walkMachines(
  facts: Facts,
  visit: (activity: OnMachine, loaded: Loaded | null) => void,
): void {
  facts.allOnMachine.forEach((activities, number) => {
    const { loaded: first } = facts.problem.machines[number]!;
    let loaded: Loaded | null = first && { bath: facts.problem.baths[first.bath] ?? '', since: first.since };
    for (const activity of activities) {
      if (activity.kind === 'duty') {
        if (facts.duty(activity)?.endsCircuit) loaded = null;
        continue;
      }
      visit(activity, loaded);
      if (activity.kind === 'circuit') loaded = { bath: activity.bath, since: activity.start };
      else if (activity.kind === 'bath' && loaded) loaded = { bath: activity.bath, since: loaded.since };
    }
  });
}
