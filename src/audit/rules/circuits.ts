import { counted, type Facts, nameOf, type OnMachine } from '../facts.ts';
import type { Finding, Violation } from '../verdict.ts';

/** What a machine holds as an activity starts; null: no circuit in place. */
interface Loaded {
  readonly bath: string;
  readonly since: number;
}

/** Walks each machine's activities in order, telling what circuit and bath each one finds. */
function walk(facts: Facts, visit: (activity: OnMachine, loaded: Loaded | null) => void): void {
  facts.onMachine.forEach((activities, number) => {
    const { loaded: first } = facts.problem.machines[number]!;
    let loaded: Loaded | null = first && { bath: facts.problem.baths[first.bath] ?? '', since: first.since };
    for (const activity of activities) {
      visit(activity, loaded);
      if (activity.kind === 'circuit') loaded = { bath: activity.bath, since: activity.start };
      else if (activity.kind === 'bath' && loaded) loaded = { bath: activity.bath, since: loaded.since };
    }
  });
}

/** A fill and a bath change need a circuit in place, be it an expired one. */
export function circuitInPlace(facts: Facts): Finding {
  const violations: Violation[] = [];
  let count = 0;
  walk(facts, (activity, loaded) => {
    if (activity.kind !== 'fill' && activity.kind !== 'bath') return;
    count += 1;
    if (!loaded)
      violations.push({
        rule: 'circuit-in-place',
        message: `The ${nameOf(activity)} at ${facts.at(activity.start)} finds no circuit in place.`,
        start: activity.start,
        end: activity.end,
        place: activity.machine,
        amount: 1,
        unit: 'activity',
      });
  });
  return { violations, count };
}

/** A fill is of the bath that its machine's circuit runs. */
export function bathLoaded(facts: Facts): Finding {
  const violations: Violation[] = [];
  let count = 0;
  walk(facts, (activity, loaded) => {
    if (activity.kind !== 'fill') return;
    count += 1;
    if (loaded && loaded.bath !== activity.bath)
      violations.push({
        rule: 'bath-loaded',
        message: `The ${nameOf(activity)} at ${facts.at(activity.start)} finds ${loaded.bath} running: a bath change or a circuit change to ${activity.bath} must come before it.`,
        start: activity.start,
        end: activity.end,
        place: activity.machine,
        amount: 1,
        unit: 'activity',
      });
  });
  return { violations, count };
}

/** Every fill, bath change and swap ends within the life of the circuit that it runs on. */
export function circuitLife(facts: Facts): Finding {
  const { circuitLife: life } = facts.problem.rules;
  const violations: Violation[] = [];
  let count = 0;
  walk(facts, (activity, loaded) => {
    if (activity.kind === 'circuit' || !loaded) return;
    count += 1;
    const over = activity.end - (loaded.since + life);
    if (over > 0)
      violations.push({
        rule: 'circuit-life',
        message: `The ${nameOf(activity)} ends at ${facts.at(activity.end)}, ${counted(over, 'minute')} after the life of its circuit, in place since ${facts.at(loaded.since)}, has run out.`,
        start: activity.start,
        end: activity.end,
        place: activity.machine,
        amount: over,
        unit: 'min',
      });
  });
  return { violations, count };
}
