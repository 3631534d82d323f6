import type { Ground } from '../draws/draw.ts';
import { CAUSES, type Cause } from '../model/causes.ts';
import { bandOf, chanceError, quantile } from './bands.ts';
import type { Chunk } from './job.ts';
import { column } from './simulate.ts';

const SHORT = 1e-6;

/** What happens with so many machines. */
export interface MachineRow {
  readonly machines: number;
  /** Share of runs in which a bag is missing. */
  readonly shortageChance: number;
  /** Half the width of its 95 % interval. */
  readonly chanceError: number;
  /** Mean bags short over all runs, also those without shortage. */
  readonly bagsShort: number;
  readonly p95BagsShort: number;
  /** Share of runs whose first missing bag lacked this. */
  readonly causes: Readonly<Record<Cause, number>>;
}

/** Rows for least..most machines, of runs that were judged for them. */
export function machineRows(
  all: Pick<Chunk, 'short' | 'cause' | 'count'>,
  most: number,
  least = 1,
): MachineRow[] {
  return Array.from({ length: most - least + 1 }, (_, row) => {
    const k = least - 1 + row;
    const bags = column(all.short, most, k, all.count);
    const causes = column(all.cause, most, k, all.count);
    const chance = bags.filter((value) => value > SHORT).length / all.count;
    bags.sort();
    const share = (index: number) => causes.filter((cause) => cause === index).length / all.count;
    return {
      machines: k + 1,
      shortageChance: chance,
      chanceError: chanceError(chance, all.count),
      bagsShort: bags.reduce((sum, value) => sum + value, 0) / all.count,
      p95BagsShort: quantile(bags, 0.95),
      causes: Object.fromEntries(CAUSES.map((cause, index) => [cause, share(index)])) as Record<
        Cause,
        number
      >,
    };
  });
}

/** The fewest machines with which no bag is missing with the wanted confidence; null: none of the rows. */
export const smallestMachines = (rows: readonly MachineRow[], confidence: number): number | null =>
  rows.find(({ shortageChance }) => 1 - shortageChance >= confidence - 1e-12)?.machines ?? null;

/** What the first missing bag lacks, by share of all runs, the most frequent first; nothing that no run lacks. */
export const lacksFirst = ({ causes }: Pick<MachineRow, 'causes'>): { limit: Cause; share: number }[] =>
  CAUSES.map((limit) => ({ limit, share: causes[limit] }))
    .filter(({ share }) => share > 0)
    .sort((a, b) => b.share - a.share);

/** Bags short beyond those of the last row that count as no improvement. */
export const NO_LESS = 1.01;

/** More machines than `own` change nothing, up to the last of the rows. */
export function moreIsNoUse(rows: readonly MachineRow[], own: number): boolean {
  const mine = rows[own - 1];
  const last = rows.at(-1);
  return (
    mine !== undefined &&
    last !== undefined &&
    last.machines > own &&
    mine.bagsShort > SHORT &&
    mine.bagsShort <= last.bagsShort * NO_LESS &&
    mine.shortageChance <= last.shortageChance + 1e-9
  );
}

/** When shortage begins with so many machines, over the runs. */
export interface FirstShort {
  /** Share of runs in which anything is short. */
  readonly chance: number;
  /** Minute of the round by which the wanted confidence is first lost; null: never in the forecast. */
  readonly minute: number | null;
  /** Median minute of the first short round among the runs that fall short; null: none do. */
  readonly median: number | null;
}

/** The time at which capacity is first exceeded: the first round by which more than 1 - confidence of runs are short. */
export function firstShort(all: Chunk, most: number, machines: number, ground: Ground): FirstShort {
  const { rounds } = ground.problem;
  const at = [...column(all.round, most, machines - 1, all.count)]
    .filter((round) => round >= 0)
    .map((round) => rounds[round]!.at)
    .sort((a, b) => a - b);
  const allowed = (1 - ground.spec.confidence) * all.count;
  return {
    chance: at.length / all.count,
    minute: at[Math.floor(allowed + 1e-9)] ?? null,
    median: at.length > 0 ? quantile(at, 0.5) : null,
  };
}

/** One supply over the runs, each circuit used to the end of its life. */
export interface SupplyAnswer {
  readonly item: string;
  readonly onHand: number;
  /** On hand at the start that lasts with the wanted confidence, given the deliveries, if machines make all bags. */
  readonly wanted: number;
  /** Share of runs in which it runs out, and half the width of its 95 % interval. */
  readonly runsOut: number;
  readonly runsOutError: number;
  /** Minute of the bag round at which it has run out in 5, 50 and 95 of 100 runs; null: it lasts in more than the rest. */
  readonly p5: number | null;
  readonly p50: number | null;
  readonly p95: number | null;
}

export function supplyAnswers(all: Chunk, ground: Ground): SupplyAnswer[] {
  const { supplies, rounds } = ground.problem;
  return supplies.map((supply, s) => {
    const needed = column(all.supplyAtStart, supplies.length, s, all.count).sort();
    const times = column(all.supplyRound, supplies.length, s, all.count)
      .map((round) => (round < 0 ? Number.POSITIVE_INFINITY : rounds[round]!.at))
      .sort();
    const timeAt = (p: number): number | null => {
      const time = times[Math.min(times.length - 1, Math.ceil(p * times.length) - 1)]!;
      return Number.isFinite(time) ? time : null;
    };
    const runsOut = times.filter(Number.isFinite).length / all.count;
    return {
      item: supply.item,
      onHand: supply.onHand / supply.scale,
      wanted: quantile(needed, ground.spec.confidence),
      runsOut,
      runsOutError: chanceError(runsOut, all.count),
      p5: timeAt(0.05),
      p50: timeAt(0.5),
      p95: timeAt(0.95),
    };
  });
}

/** Bags hung per patient and day, and by bath, over all runs: what one more patient costs. */
export function bagsPerPatientDay(all: Chunk, ground: Ground): { all: number; byBath: number[] } {
  const { days } = ground.spec;
  const baths = ground.problem.baths.length;
  const patients = all.census.reduce((sum, value) => sum + value, 0);
  const byBath = ground.problem.baths.map((_, bath) => {
    let bags = 0;
    for (let draw = 0; draw < all.count; draw++)
      for (let day = 0; day < days; day++) bags += all.bags[(draw * baths + bath) * days + day]!;
    return patients > 0 ? bags / patients : 0;
  });
  return { all: byBath.reduce((sum, value) => sum + value, 0), byBath };
}

/** Patients under therapy on a day, mean over days and runs. */
export const meanCensus = (all: Chunk): number =>
  all.census.length === 0 ? 0 : all.census.reduce((sum, value) => sum + value, 0) / all.census.length;

/** Peak over the days of the census' mean and of its 95 % quantile. */
export function peakCensus(all: Chunk, days: number): { mean: number; p95: number; day: number } {
  let best = { mean: 0, p95: 0, day: 0 };
  for (let day = 0; day < days; day++) {
    const { mean, p95 } = bandOf(column(all.census, days, day, all.count));
    if (p95 > best.p95 || (p95 === best.p95 && mean > best.mean)) best = { mean, p95, day };
  }
  return best;
}

/** Runs looked at for those that decide. */
const LOOKED_AT = 2000;

/** Numbers of runs on which the answer turns, and of others. */
export interface DecidingRuns {
  /** Short with one machine fewer than are enough (with those listed, where no number is enough): a wrong model errs here. */
  readonly near: readonly number[];
  readonly others: readonly number[];
  /** Share of the runs looked at that are near. */
  readonly share: number;
}

/** @param short bags short, [run x most + machines - 1], judged from `least` machines on */
export function decidingRuns(
  all: Pick<Chunk, 'short' | 'count'>,
  { most, least, machines }: { most: number; least: number; machines: number },
): DecidingRuns {
  const count = Math.min(LOOKED_AT, all.count);
  const short = column(all.short, most, Math.max(least, machines) - 1, count);
  const runs = Array.from({ length: count }, (_, run) => run);
  const near = runs.filter((run) => short[run]! > SHORT);
  return {
    near,
    others: runs.filter((run) => short[run]! <= SHORT),
    share: near.length / Math.max(1, count),
  };
}
