import { places } from '../exact/fraction.ts';
import type { Activity } from '../plan/plan.ts';
import type { Problem, Supply } from '../scenario/problem/types.ts';
import type { Step } from './timeline.ts';

export interface SupplySeries {
  readonly item: string;
  /** What is left, in the item's own unit, from the start; steps at uses and deliveries. */
  readonly left: readonly Step[];
  readonly deliveries: readonly { readonly at: number; readonly quantity: number }[];
  /** As typed: `left` begins after what the first minute uses or brings. */
  readonly onHand: number;
  /** By the horizon's end: onHand + delivered - used = atEnd. */
  readonly delivered: number;
  readonly used: number;
  readonly atEnd: number;
  /** The least that a fill takes; with less left none can start (`leastToStart`). 0 when nothing uses it. */
  readonly leastToStart: number;
  /** Fills take of it. */
  readonly forFills: boolean;
  /** First minute from which, to the horizon's end, too little is left for a fill; null: enough at the end. */
  readonly runsOut: number | null;
  /** First minute at which too little is left for a fill, also when a later delivery helps; null: never. */
  readonly firstShort: number | null;
  /** Days that the rest lasts after the horizon at the plan's mean use; null when nothing is used. */
  readonly lastsDays: number | null;
}

/** Units (Supply.scale) that an activity takes at its start. */
export function useOf(problem: Problem, supply: Supply, activity: Activity): number {
  if (activity.kind === 'swap' || activity.kind === 'test' || activity.kind === 'duty') return 0;
  const machine = problem.machines.findIndex(({ id }) => id === activity.machine);
  if (machine < 0 || (supply.bath !== null && problem.baths[supply.bath] !== activity.bath)) return 0;
  const once =
    activity.kind === 'circuit' ? supply.perCircuit : activity.kind === 'fill' ? supply.perFill : 0;
  return once + supply.perMinute[machine]! * (activity.end - activity.start);
}

/** How each supply runs down under a plan, and when it runs out. */
export function supplySeries(problem: Problem, activities: readonly Activity[]): SupplySeries[] {
  return problem.supplies.map((supply) => {
    const changes = [
      ...supply.deliveries.map(({ at, quantity }) => ({ at, change: quantity })),
      ...activities.map((activity) => ({ at: activity.start, change: -useOf(problem, supply, activity) })),
    ]
      .filter(({ change, at }) => change !== 0 && at < problem.horizon)
      // What arrives in a minute may be used in it.
      .sort((a, b) => a.at - b.at || b.change - a.change);
    const left: { at: number; value: number }[] = [{ at: 0, value: supply.onHand }];
    let value = supply.onHand;
    let used = 0;
    let delivered = 0;
    for (const { at, change } of changes) {
      value += change;
      if (change < 0) used -= change;
      else delivered += change;
      const step = { at: Math.max(0, at), value };
      if (left.at(-1)!.at === step.at) left[left.length - 1] = step;
      else left.push(step);
    }
    const smallest = leastToStart(problem, supply);
    const enough = left.map((step) => step.value >= smallest);
    const size = (units: number) => units / supply.scale;
    const atEnd = left.at(-1)!.value;
    return {
      item: supply.item,
      left: left.map(({ at, value: units }) => ({ at, value: size(units) })),
      deliveries: supply.deliveries.map(({ at, quantity }) => ({ at, quantity: size(quantity) })),
      onHand: size(supply.onHand),
      delivered: size(delivered),
      used: size(used),
      atEnd: size(atEnd),
      leastToStart: size(smallest),
      forFills: supply.perFill > 0 || supply.perMinute.some((units) => units > 0),
      runsOut: left[enough.lastIndexOf(true) + 1]?.at ?? null,
      firstShort: left[enough.indexOf(false)]?.at ?? null,
      lastsDays: used > 0 ? (Math.max(0, atEnd) * (problem.horizon / 1440)) / used : null,
    };
  });
}

/**
 * What a supply's table shows: start + delivered - used = left in the very decimals shown. What is typed stands as typed,
 * with what is used rounded to as many decimals, at least one.
 */
export function supplyAccount({ onHand, delivered, used }: SupplySeries) {
  const digits = Math.max(1, places(onHand), places(delivered));
  const round = (value: number) => Number(value.toFixed(digits));
  return {
    digits,
    start: onHand,
    delivered,
    used: round(used),
    left: round(onHand + delivered - round(used)),
  };
}

/**
 * Units (Supply.scale) that the smallest fill takes at its start, of the machines that may run the supply's bath: with less
 * left no fill can start, though a flush or a bath change still could. Of what no fill takes: the smallest use.
 */
export function leastToStart(problem: Problem, supply: Supply): number {
  const { bathMinutes, circuitMinutes } = problem.rules;
  const own = problem.machines.flatMap((machine, index) =>
    supply.bath === null || machine.baths.includes(supply.bath)
      ? [{ machine, perMinute: supply.perMinute[index]! }]
      : [],
  );
  const least = (uses: readonly number[]) => Math.min(...uses.filter((units) => units > 0));
  const fill = least(own.map(({ machine, perMinute }) => supply.perFill + perMinute * machine.shortest));
  if (fill < Number.POSITIVE_INFINITY) return fill;
  const other = least(
    own.flatMap(({ perMinute }) => [supply.perCircuit + perMinute * circuitMinutes, perMinute * bathMinutes]),
  );
  return other === Number.POSITIVE_INFINITY ? 0 : other;
}
