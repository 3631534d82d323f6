import type { Machine, Problem, Rules, Supply } from '../../scenario/problem/types.ts';
import type { Making } from './machines.ts';

/** Supplies as bags that they allow. Made once a site. */
export interface SupplyPlan {
  /** Bags that the supplies used by every fill allow by each round, counted from the start, [round]. */
  readonly all: Float64Array;
  /** The same for supplies of one bath, [bath][round]. */
  readonly ofBath: readonly Float64Array[];
  readonly rows: readonly SupplyRow[];
}

interface SupplyRow {
  readonly item: string;
  /** null: fills of all baths use it. */
  readonly bath: number | null;
  /** Of the item for one bag: its part of the fill, and of a circuit used to the end of its life. */
  readonly perBag: number;
  /** Delivered by the latest start of a fill for each round, in the item's unit, [round]. */
  readonly delivered: Float64Array;
  /** In the item's unit. */
  readonly onHand: number;
  /** What circuits in place at the start spare, in the item's unit. */
  readonly spared: number;
}

/** The part of a circuit's fills that the one in place at the start still gives; 0: none is in place. */
function loadedShare(
  { loaded, shortest }: Machine,
  { circuitLife, circuitMinutes, swapMinutes }: Rules,
): number {
  if (!loaded) return 0;
  const cycle = shortest + swapMinutes;
  const whole = Math.max(1, Math.floor((circuitLife - circuitMinutes) / cycle));
  return Math.max(0, Math.min(whole, Math.floor((loaded.since + circuitLife) / cycle))) / whole;
}

/** Bags from so much of a supply: machines that use least of it first, each as far as it comes; then copies of the last. */
function bagsFrom(amount: number, uses: readonly number[], made: readonly number[]): number {
  const order = uses.map((_, m) => m).sort((a, b) => uses[a]! - uses[b]!);
  let left = amount;
  let bags = 0;
  for (const m of order) {
    const use = uses[m]!;
    const part = use > 0 ? Math.min(made[m]!, left / use) : made[m]!;
    bags += part;
    left = Math.max(0, left - part * use);
  }
  const last = uses.at(-1) ?? 0;
  return last > 0 ? bags + left / last : Number.POSITIVE_INFINITY;
}

/** Of the item for one bag from each machine of the list: its part of the fill, and of a circuit used up. */
const usesOf = (supply: Supply, { rules }: Problem, { machines, perCircuit }: Making): number[] =>
  machines.map(({ shortest, usable }, m) => {
    const perMinute = supply.perMinute[m] ?? 0;
    const fill = supply.perFill + perMinute * shortest;
    const circuit = supply.perCircuit + perMinute * rules.circuitMinutes;
    return (fill + circuit / perCircuit[m]!) / Math.max(1, usable) / supply.scale;
  });

/** Of the item for one bag, on average over what the machines make. */
function meanUse(uses: readonly number[], bags: readonly number[]): number {
  const all = bags.reduce((sum, made) => sum + made, 0);
  return all > 0
    ? uses.reduce((sum, use, m) => sum + use * bags[m]!, 0) / all
    : uses.reduce((sum, use) => sum + use, 0) / Math.max(1, uses.length);
}

/** Delivered by the latest start of a fill for each round, in the item's unit. */
const deliveredBy = (supply: Supply, { rounds, rules }: Problem, shortest: number): Float64Array =>
  Float64Array.from(rounds, ({ at }) => {
    const start = at - rules.releaseMinutes - rules.swapMinutes - shortest;
    return supply.deliveries.reduce((sum, d) => sum + (d.at <= start ? d.quantity : 0), 0) / supply.scale;
  });

/** What circuits in place at the start spare, in the item's unit. */
const sparedOf = (supply: Supply, { machines, rules }: Problem): number =>
  machines.reduce(
    (sum, machine, m) =>
      sum +
      (loadedShare(machine, rules) *
        (supply.perCircuit + (supply.perMinute[m] ?? 0) * rules.circuitMinutes)) /
        supply.scale,
    0,
  );

/** Bags that each machine can have made by each round, [round][machine]. */
const madeBy = ({ rounds }: Problem, { machines, fills }: Making): number[][] =>
  rounds.map(({ index }) =>
    machines.map(
      ({ usable }, m) => fills[m]!.subarray(0, index + 1).reduce((sum, count) => sum + count, 0) * usable,
    ),
  );

export function supplyPlanOf(problem: Problem, making: Making): SupplyPlan {
  const { rounds, baths } = problem;
  const unlimited = () => new Float64Array(rounds.length).fill(Number.POSITIVE_INFINITY);
  const all = unlimited();
  const ofBath = baths.map(unlimited);
  const shortest = Math.min(...making.machines.map((machine) => machine.shortest));
  const listed = { ...making, machines: making.machines.slice(0, problem.machines.length) };
  const made = madeBy(problem, listed);
  const rows = problem.supplies.map((supply): SupplyRow => {
    const uses = usesOf(supply, problem, listed);
    const perBag = meanUse(uses, made.at(-1) ?? []);
    const delivered = deliveredBy(supply, problem, shortest);
    const onHand = supply.onHand / supply.scale;
    const spared = sparedOf(supply, problem);
    if (perBag > 0) {
      const limit = supply.bath === null ? all : ofBath[supply.bath]!;
      delivered.forEach((quantity, round) => {
        limit[round] = Math.min(limit[round]!, bagsFrom(onHand + quantity + spared, uses, made[round]!));
      });
    }
    return { item: supply.item, bath: supply.bath, perBag, delivered, onHand, spared };
  });
  return { all, ofBath, rows };
}

/**
 * What one run asks of one supply.
 * @param wanted bags to be made, [bath x rounds + round]
 * @returns `atStart`: what must be on hand at the start, given the deliveries; `round`: the first round for which what
 * is on hand and delivered does not last, -1 if it lasts
 */
export function supplyNeed(
  row: SupplyRow,
  wanted: Float64Array,
  baths: number,
): { atStart: number; round: number } {
  const rounds = row.delivered.length;
  let used = 0;
  let atStart = 0;
  let round = -1;
  for (let r = 1; r < rounds; r++) {
    for (let bath = 0; bath < baths; bath++)
      if (row.bath === null || row.bath === bath) used += wanted[bath * rounds + r]! * row.perBag;
    const asked = used - row.delivered[r]! - row.spared;
    if (asked > atStart) atStart = asked;
    if (round < 0 && asked > row.onHand + 1e-9) round = r;
  }
  return { atStart, round };
}
