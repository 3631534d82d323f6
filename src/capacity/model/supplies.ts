import type { Machine, Problem, Rules } from '../../scenario/problem/types.ts';

/** Supplies as bags that they allow. Made once a site. */
export interface SupplyPlan {
  /** Bags that the supplies used by every fill allow by each round, counted from the start, [round]. */
  readonly all: Float64Array;
  /** The same for supplies of one bath, [bath][round]. */
  readonly ofBath: readonly Float64Array[];
  readonly rows: readonly SupplyRow[];
}

export interface SupplyRow {
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

/** What the machines of the list do if nothing holds them up (`readyBags`). */
export interface Making {
  /** The list's machines, perhaps with copies of the last behind them. */
  readonly machines: readonly Machine[];
  /** Fills in the life of one circuit, by machine. */
  readonly perCircuit: readonly number[];
  /** Fills for each round, by machine. */
  readonly fills: readonly Uint16Array[];
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

export function supplyPlanOf(problem: Problem, { machines, perCircuit, fills }: Making): SupplyPlan {
  const { rounds, rules, baths } = problem;
  const unlimited = () => new Float64Array(rounds.length).fill(Number.POSITIVE_INFINITY);
  const all = unlimited();
  const ofBath = baths.map(unlimited);
  const shortest = Math.min(...machines.map((machine) => machine.shortest));
  const own = Math.min(problem.machines.length, machines.length);
  /** Bags that each machine of the list can have made by each round, [round][machine]. */
  const made = rounds.map(({ index }) =>
    machines
      .slice(0, own)
      .map(
        ({ positions }, m) =>
          fills[m]!.subarray(0, index + 1).reduce((sum, count) => sum + count, 0) * positions,
      ),
  );
  const rows = problem.supplies.map((supply): SupplyRow => {
    const uses = machines.slice(0, own).map(({ shortest: minutes, positions }, m) => {
      const perMinute = supply.perMinute[m] ?? 0;
      const fill = supply.perFill + perMinute * minutes;
      const circuit = supply.perCircuit + perMinute * rules.circuitMinutes;
      return (fill + circuit / perCircuit[m]!) / positions / supply.scale;
    });
    const most = made.at(-1) ?? [];
    const bags = most.reduce((sum, bags) => sum + bags, 0);
    const perBag =
      bags > 0
        ? uses.reduce((sum, use, m) => sum + use * most[m]!, 0) / bags
        : uses.reduce((sum, use) => sum + use, 0) / Math.max(1, uses.length);
    const delivered = Float64Array.from(rounds, ({ at }) => {
      const start = at - rules.releaseMinutes - rules.swapMinutes - shortest;
      return supply.deliveries.reduce((sum, d) => sum + (d.at <= start ? d.quantity : 0), 0) / supply.scale;
    });
    const onHand = supply.onHand / supply.scale;
    const spared = problem.machines.reduce(
      (sum, machine, m) =>
        sum +
        (loadedShare(machine, rules) *
          (supply.perCircuit + (supply.perMinute[m] ?? 0) * rules.circuitMinutes)) /
          supply.scale,
      0,
    );
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
 * What one draw asks of one supply.
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
