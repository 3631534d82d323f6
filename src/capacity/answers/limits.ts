import type { Problem } from '../../scenario/problem/types.ts';
import type { Ground } from '../draws/draw.ts';
import { capacityParts, dutiesOf, laborOf, testLabor } from '../model/floor.ts';
import { usableFlow } from '../model/flow.ts';
import type { Making } from '../model/machines.ts';
import { Ready } from '../model/ready.ts';
import { supplyPlanOf } from '../model/supplies.ts';
import { crowdOf, slackOf, USABLE } from '../model/usable.ts';
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

/** A limit beside what the runs say of it. */
export interface Given extends Limit {
  /** Share of runs: a supply runs out in them, were machines to make every bag; all else the first missing bag lacks. */
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

/** What the runs say. */
interface Seen {
  /** With the machines that are asked about. */
  readonly row: Pick<MachineRow, 'causes'>;
  readonly supplies: readonly Pick<SupplyAnswer, 'item' | 'runsOut'>[];
  /** Patients on the fullest day. */
  readonly peak: number;
  readonly confidence: number;
}

/**
 * Limits in the order of what gives first: what the first missing bag lacks in most runs, then the supply that runs
 * out in most, then the one used up by the fewest patients. A supply is used up by all days together, so the highest
 * census says nothing of it.
 */
export function givingFirst(
  limits: readonly Limit[],
  { row: { causes }, supplies, peak, confidence }: Seen,
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

const mean = (values: readonly number[]) =>
  values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length);

/** Share of the forecast's time in which anybody is on shift. */
const staffedShare = ({ staff, horizon }: Problem): number =>
  staff.reduce((sum, value) => sum + (value > 0 ? 1 : 0), 0) / horizon;

/** Bags a day that the machines make if nothing but their own hours, and hours without anybody, holds them up. */
export function bagsByMachines(problem: Problem, { machines, perCircuit }: Making): number {
  const { rules, horizon } = problem;
  const staffed = staffedShare(problem);
  const duties = dutiesOf(problem, machines);
  const bagsADay = machines.map(({ windows, usable, shortest }, m) => {
    const busy = duties[m]!.reduce((sum, { minutes }) => sum + minutes, 0);
    const open = windows.reduce((sum, { from, to }) => sum + to - from, 0);
    const there = Math.max(0, open - busy) / (horizon / DAY);
    const cycle = shortest + rules.swapMinutes + rules.circuitMinutes / perCircuit[m]!;
    return (Math.min(there, staffed * DAY) / cycle) * usable;
  });
  return bagsADay.reduce((sum, value) => sum + value, 0) * USABLE.machines;
}

/** Bags a day that the technicians can swap and set up for, after tests and what a plan cannot use of their time. */
export function bagsByTechnicians(problem: Problem, { machines, perCircuit }: Making): number {
  const { rules, horizon, water, shifts } = problem;
  const { fill, fillLength, circuit } = laborOf(rules);
  const staffed = staffedShare(problem);
  const handsPerBag = mean(
    machines.map(({ usable }, m) => (fill + circuit / perCircuit[m]!) / Math.max(1, usable)),
  );
  const staffMinutes = shifts.reduce(
    (sum, { from, to, technicians }) => sum + (Math.min(to, horizon) - Math.max(from, 0)) * technicians,
    0,
  );
  const used = water.filter((_, source) => machines.some((machine) => machine.water === source));
  const tests = used.reduce(
    (sum, source) => sum + ((staffed * DAY) / source.testEvery) * testLabor(source, rules).hands,
    0,
  );
  const duties = problem.duties.reduce(
    (sum, { at, technicians, minutes }) =>
      sum + (technicians > 0 ? at.length * technicians * (minutes + rules.walkMinutes) : 0),
    0,
  );
  const perFill = mean(perCircuit.map((fills) => circuit / fills));
  const block = (fill * fillLength + perFill * rules.circuitMinutes) / Math.max(1e-9, fill + perFill);
  const lost = crowdOf(block, slackOf(machines)) * staffed * DAY;
  const free = Math.max(0, (staffMinutes - duties) / (horizon / DAY) - lost - tests);
  return handsPerBag > 0 ? free / handsPerBag : Number.POSITIVE_INFINITY;
}

/** Bags a day that one source feeds, were there machines like its own without end; 0: no machine uses it. */
export function bagsByWater(problem: Problem, index: number, { machines, perCircuit }: Making): number {
  const capacity = capacityParts(problem.water[index]!, 0, problem.horizon).reduce(
    (sum, part) => sum + part.capacity * part.share,
    0,
  );
  const { circuitMinutes } = problem.rules;
  const mine = machines.flatMap((machine, m) => (machine.water === index ? [m] : []));
  if (mine.length === 0) return 0;
  const all = mine.reduce((sum, m) => sum + machines[m]!.flow, 0);
  const copies = Math.ceil((2 * capacity) / all);
  const flow = usableFlow(
    mine.flatMap((m) => Array.from({ length: copies }, () => ({ flow: machines[m]!.flow, duty: 1 }))),
    capacity,
  );
  const flowPerBag = mean(
    mine.map((m) => {
      const { flow: own, shortest, usable } = machines[m]!;
      return (own * (shortest + circuitMinutes / perCircuit[m]!)) / Math.max(1, usable);
    }),
  );
  return (flow * staffedShare(problem) * DAY * USABLE.water) / flowPerBag;
}

/**
 * For each limit alone, the bags a day it allows over the forecast's days and
 * the census at which they are asked for, the smallest first.
 * @param perPatient bags per patient and day, by bath (`bagsPerPatientDay`)
 * @param count machines
 */
export function limitsOf({ problem }: Ground, perPatient: readonly number[], count: number): Limit[] {
  const making = new Ready(problem, count);
  const each = perPatient.reduce((sum, value) => sum + value, 0);
  const limit = (what: string, kind: Limit['kind'], bagsPerDay: number, asked = each): Limit => ({
    what,
    kind,
    bagsPerDay,
    census: asked > 0 ? bagsPerDay / asked : Number.POSITIVE_INFINITY,
  });
  const water = problem.water.reduce((sum, _, index) => sum + bagsByWater(problem, index, making), 0);
  const supplies = supplyPlanOf(problem, making).rows.filter(({ perBag }) => perBag > 0);
  return [
    limit('machine hours', 'machine hours', bagsByMachines(problem, making)),
    limit('technicians', 'technicians', bagsByTechnicians(problem, making)),
    limit('water', 'water', water),
    ...supplies.map(({ item, bath, perBag, delivered, onHand, spared }) => {
      const all = onHand + spared + (delivered.at(-1) ?? 0);
      const perDay = all / perBag / (problem.horizon / DAY);
      return limit(item, 'supply', perDay, bath === null ? each : (perPatient[bath] ?? 0));
    }),
  ].sort((a, b) => a.census - b.census);
}
