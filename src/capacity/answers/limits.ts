import type { Ground } from '../draws/draw.ts';
import { usableFlow } from '../model/calendar.ts';
import { crowdOf, readyBags, slackOf, USABLE } from '../model/ready.ts';
import { supplyPlanOf } from '../model/supplies.ts';
import type { MachineRow, SupplyAnswer } from './answers.ts';

/** One thing that can give out, and when. */
export interface Limit {
  readonly what: string;
  readonly kind: 'machine hours' | 'technicians' | 'water' | 'supply';
  /** Bags a day that it allows in the long run, everything else without limit. */
  readonly bagsPerDay: number;
  /** Patients under therapy at which it is used up. */
  readonly census: number;
}

/** A limit beside what the draws say of it. */
export interface Given extends Limit {
  /** Share of draws: a supply runs out in them, were machines to make every bag; all else the first missing bag lacks. */
  readonly share: number;
  /** The forecast asks for more than it allows. */
  readonly beyond: boolean;
}

const DAY = 1440;

const CAUSE_OF = {
  'machine hours': 'machines',
  technicians: 'technicians',
  water: 'water',
  supply: 'supplies',
} as const;

/**
 * Limits in the order of what gives first: what the first missing bag lacks in most draws, then the supply that runs
 * out in most, then the one used up by the fewest patients. A supply is used up by all days together, so the highest
 * census says nothing of it.
 * @param row with the machines that are asked about
 * @param peak patients on the fullest day
 */
export function givingFirst(
  limits: readonly Limit[],
  { causes }: Pick<MachineRow, 'causes'>,
  supplies: readonly Pick<SupplyAnswer, 'item' | 'runsOut'>[],
  peak: number,
  confidence: number,
): Given[] {
  const outOf = ({ kind, what }: Limit) =>
    kind === 'supply' ? (supplies.find(({ item }) => item === what)?.runsOut ?? 0) : 0;
  return limits
    .map((limit) => {
      const isSupply = limit.kind === 'supply';
      const share = isSupply ? outOf(limit) : causes[CAUSE_OF[limit.kind]];
      return { ...limit, share, beyond: isSupply ? share > 1 - confidence : limit.census < peak };
    })
    .sort(
      (a, b) =>
        causes[CAUSE_OF[b.kind]] - causes[CAUSE_OF[a.kind]] || outOf(b) - outOf(a) || a.census - b.census,
    );
}

/**
 * For each limit alone, the bags a day it allows over the forecast's days and
 * the census at which they are asked for, the smallest first.
 * @param perPatient bags per patient and day, by bath (`bagsPerPatientDay`)
 * @param count machines
 */
export function limitsOf(ground: Ground, perPatient: readonly number[], count: number): Limit[] {
  const { problem } = ground;
  const { rules, horizon, water, shifts } = problem;
  const making = readyBags(problem, count);
  const { machines, perCircuit } = making;
  const days = horizon / DAY;
  const each = perPatient.reduce((sum, value) => sum + value, 0);
  const asked = (bagsPerDay: number, ofBath: number) =>
    ofBath > 0 ? bagsPerDay / ofBath : Number.POSITIVE_INFINITY;

  const staffed = problem.staff.reduce((sum, value) => sum + (value > 0 ? 1 : 0), 0) / horizon;
  const bagsADay = machines.map(({ windows, positions, shortest }, m) => {
    const there = windows.reduce((sum, { from, to }) => sum + to - from, 0) / days;
    const cycle = shortest + rules.swapMinutes + rules.circuitMinutes / perCircuit[m]!;
    return (Math.min(there, staffed * DAY) / cycle) * positions;
  });
  const hours = bagsADay.reduce((sum, value) => sum + value, 0) * USABLE.machines;

  const mean = (values: readonly number[]) =>
    values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length);
  const handsPerBag = mean(
    machines.map(
      ({ positions }, m) => (rules.swapMinutes + rules.circuitMinutes / perCircuit[m]!) / positions,
    ),
  );
  const staffMinutes = shifts.reduce(
    (sum, { from, to, technicians }) => sum + (Math.min(to, horizon) - Math.max(from, 0)) * technicians,
    0,
  );
  const used = water.filter((_, source) => machines.some((machine) => machine.water === source));
  const tests = used.reduce(
    (sum, { testEvery, testMinutes }) => sum + ((staffed * DAY) / testEvery) * testMinutes,
    0,
  );
  const { swapMinutes, circuitMinutes } = rules;
  const perFill = mean(perCircuit.map((fills) => circuitMinutes / fills));
  const block = (swapMinutes ** 2 + perFill * circuitMinutes) / (swapMinutes + perFill);
  const lost = crowdOf(block, slackOf(machines)) * staffed * DAY;
  const hands = Math.max(0, staffMinutes / days - lost - tests) / handsPerBag;

  const list: Limit[] = [
    { what: 'machine hours', kind: 'machine hours', bagsPerDay: hours, census: asked(hours, each) },
    { what: 'technicians', kind: 'technicians', bagsPerDay: hands, census: asked(hands, each) },
  ];

  let fromWater = 0;
  water.forEach((source, index) => {
    const mine = machines.flatMap((machine, m) => (machine.water === index ? [m] : []));
    if (mine.length === 0) return;
    // Were there machines like these without end.
    const all = mine.reduce((sum, m) => sum + machines[m]!.flow, 0);
    const copies = Math.ceil((2 * source.capacity) / all);
    const flow = usableFlow(
      mine.flatMap((m) => Array.from({ length: copies }, () => ({ flow: machines[m]!.flow, duty: 1 }))),
      source.capacity,
    );
    const flowPerBag = mean(
      mine.map((m) => {
        const { flow: own, shortest, positions } = machines[m]!;
        return (own * (shortest + rules.circuitMinutes / perCircuit[m]!)) / positions;
      }),
    );
    fromWater += (flow * staffed * DAY * USABLE.water) / flowPerBag;
  });
  list.push({ what: 'water', kind: 'water', bagsPerDay: fromWater, census: asked(fromWater, each) });

  for (const { item, bath, perBag, delivered, onHand, spared } of supplyPlanOf(problem, making).rows) {
    if (perBag <= 0) continue;
    const perDay = (onHand + spared + (delivered.at(-1) ?? 0)) / perBag / days;
    const share = bath === null ? each : (perPatient[bath] ?? 0);
    list.push({ what: item, kind: 'supply', bagsPerDay: perDay, census: asked(perDay, share) });
  }
  return list.sort((a, b) => a.census - b.census);
}
