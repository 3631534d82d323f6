import type { Duty, Machine, Problem, Rules, WaterSource } from '../../scenario/problem/types.ts';
import { capacityAt } from '../../scenario/problem/water.ts';

/** Minutes of release deadlines, one a round, rising: a fill whose swap has ended by then can serve the round. */
export type Deadlines = readonly number[];

/** A duty as one machine meets it: in it the machine does nothing else. */
export interface MachineDuty {
  readonly at: number;
  /** It may begin so late, min. */
  readonly latest: number;
  readonly minutes: number;
  readonly endsCircuit: boolean;
  /** Water must be tested anew after it. */
  readonly voidsTests: boolean;
}

/** Whether a duty is of the machine: copies of the list's last machine copy its duties. */
const isAt = ({ place }: Duty, m: number, own: number): boolean =>
  place?.kind === 'machine' && place.index === Math.min(m, own - 1);

/** Duties that keep each machine from its work: its own, and those of its source, which wait for no single machine. */
export const dutiesOf = (
  { duties, machines: listed }: Problem,
  machines: readonly Machine[],
): MachineDuty[][] =>
  machines.map(({ water }, m) =>
    duties
      .flatMap((duty) => {
        const own = isAt(duty, m, listed.length);
        const { place, minutes, endsCircuit, voidsTests, slack } = duty;
        if (!own && !(place?.kind === 'water' && place.index === water)) return [];
        return duty.at.map((at) => ({ at, latest: own ? at + slack : at, minutes, endsCircuit, voidsTests }));
      })
      .sort((a, b) => a.at - b.at),
  );

/** What duties take in each round. */
export interface DutyLoad {
  /** Technician minutes, walks included, [round]. */
  readonly hands: Float64Array;
  /** mL drawn from each source, in flow minutes, [round x sources + source]. */
  readonly flow: Float64Array;
}

/**
 * What duties take in each round: those of machine m, or, with m null, those of no machine.
 * @param source the machine's
 */
export function dutyLoadOf(
  { duties, rules, water, machines }: Problem,
  deadlines: Deadlines,
  { m, source }: { m: number | null; source: number },
): DutyLoad {
  const hands = new Float64Array(deadlines.length);
  const flow = new Float64Array(deadlines.length * water.length);
  for (const duty of duties) {
    const isMine = m === null ? duty.place?.kind !== 'machine' : isAt(duty, m, machines.length);
    if (!isMine) continue;
    const drawn = duty.place?.kind === 'water' ? duty.place.index : source;
    for (const at of duty.at) {
      const round = deadlines.findIndex((deadline, n) => n > 0 && deadline > at);
      if (round < 0) continue;
      if (duty.technicians > 0) hands[round]! += duty.technicians * (duty.minutes + rules.walkMinutes);
      if (duty.flow > 0) flow[round * water.length + drawn]! += duty.flow * duty.minutes;
    }
  }
  return { hands, flow };
}

/** Technician minutes of each kind of work, and for how long one is bound at a stretch. */
export interface Labor {
  /** A swap with the walk to it and the beginning of the next fill. */
  readonly fill: number;
  readonly fillLength: number;
  readonly circuit: number;
  /** For each minute of a bath change. */
  readonly change: number;
}

export function laborOf({ hands, swapMinutes, walkMinutes, fillStartMinutes, circuitMinutes }: Rules): Labor {
  // Who swaps walks there; the next fill, a circuit or a bath change on that machine begins where the swap ends.
  const swap = hands.swap * (swapMinutes + walkMinutes);
  return {
    fill: swap + fillStartMinutes,
    fillLength: (hands.swap > 0 ? swapMinutes + walkMinutes : 0) + fillStartMinutes,
    circuit: hands.circuit * circuitMinutes,
    change: hands.bath,
  };
}

/** Length of a test with the walk to it, and the technician minutes it takes. */
export function testLabor({ testMinutes }: WaterSource, { hands, walkMinutes }: Rules) {
  const length = hands.test > 0 ? testMinutes + walkMinutes : testMinutes;
  return { length, hands: hands.test * length };
}

/** Technicians that must be there for a machine to go on: those of a swap, one at least. */
export const handsWanted = ({ hands }: Rules): number => Math.max(1, hands.swap);

/** Minutes before a bag round by which a swap must have ended: release, or a test of the water where it waits for one. */
export function releaseOf({ rules, water, machines }: Problem): number {
  if (!rules.releaseAfterTest) return rules.releaseMinutes;
  const tests = water
    .filter((_, index) => machines.some((machine) => machine.water === index))
    .map((source) => testLabor(source, rules).length);
  return Math.max(rules.releaseMinutes, ...tests);
}

/** Capacities of a source between two minutes, mL/min, each with its share of that time; one where it never changes. */
export function capacityParts(
  source: WaterSource,
  from: number,
  to: number,
): { readonly capacity: number; readonly share: number }[] {
  const cuts = source.capacities.map((step) => step.from).filter((at) => at > from && at < to);
  const edges = [from, ...cuts, to];
  return edges.slice(0, -1).map((begin, n) => ({
    capacity: capacityAt(source, begin),
    share: to > from ? (edges[n + 1]! - begin) / (to - from) : 1,
  }));
}
