import type { Scenario } from '../../scenario/schema.ts';
import { groundOf } from '../draws/draw.ts';
import { machineRows, smallestMachines } from './answers.ts';
import { jobsOf, type Runner } from './job.ts';
import type { Lever, LeverSaving } from './levers.ts';
import { joined } from './simulate.ts';
import type { StudyOptions } from './study.ts';

/** Chance of shortage for machines x technicians a shift. */
export interface HeatMap {
  readonly machines: readonly number[];
  /** Technicians in every shift. */
  readonly technicians: readonly number[];
  /** [technicians][machines] */
  readonly chance: readonly (readonly number[])[];
  readonly bagsShort: readonly (readonly number[])[];
  readonly draws: number;
}

/** Every shift with so many technicians. */
export const withTechnicians = (scenario: Scenario, technicians: number): Scenario => ({
  ...scenario,
  shifts: scenario.shifts.map((row) => ({ ...row, technicians })),
});

export async function heatMap(
  scenario: Scenario,
  run: Runner,
  {
    draws,
    seed,
    machines,
    technicians,
  }: StudyOptions & { machines: readonly number[]; technicians: readonly number[] },
): Promise<HeatMap> {
  const most = Math.max(...machines);
  const least = Math.min(...machines);
  const chance: number[][] = [];
  const bagsShort: number[][] = [];
  for (const count of technicians) {
    const chunks = await run(
      jobsOf(withTechnicians(scenario, count), { seed, draws, least, most, piece: 50 }),
    );
    const rows = machineRows(joined(chunks), most, least);
    chance.push(machines.map((k) => rows[k - least]!.shortageChance));
    bagsShort.push(machines.map((k) => rows[k - least]!.bagsShort));
  }
  return { machines, technicians, chance, bagsShort, draws };
}

interface LeverBase {
  readonly bagsPerDay: number;
  readonly smallest: number | null;
  readonly chance: number;
  readonly short: number;
}

async function leverBase(
  scenario: Scenario,
  run: Runner,
  { draws, seed, most }: StudyOptions & { most: number },
): Promise<LeverBase> {
  const all = joined(await run(jobsOf(scenario, { seed, draws, most, piece: 50 })));
  const { spec } = groundOf(scenario);
  const rows = machineRows(all, most);
  const mine = rows[scenario.machines.length - 1];
  return {
    bagsPerDay: all.bags.reduce((sum, value) => sum + value, 0) / draws / spec.days,
    smallest: smallestMachines(rows, spec.confidence),
    chance: mine?.shortageChance ?? 0,
    short: mine?.bagsShort ?? 0,
  };
}

/** What each lever saves, on the same drawn patients. */
export async function leverSavings(
  scenario: Scenario,
  levers: readonly Lever[],
  run: Runner,
  options: StudyOptions & { most: number },
): Promise<LeverSaving[]> {
  const before = await leverBase(scenario, run, options);
  const savings: LeverSaving[] = [];
  for (const lever of levers) {
    const changed = lever.apply(scenario);
    const most = Math.max(options.most, changed.machines.length);
    const after = await leverBase(changed, run, { ...options, most });
    savings.push({
      id: lever.id,
      label: lever.label,
      bagsPerDay: before.bagsPerDay - after.bagsPerDay,
      machines: before.smallest === null || after.smallest === null ? null : before.smallest - after.smallest,
      chanceBefore: before.chance,
      chanceAfter: after.chance,
      bagsShort: before.short - after.short,
    });
    options.onProgress?.(savings.length / levers.length);
  }
  return savings;
}

/** The smallest value of a rising list under which the scenario holds with its confidence; null: none of them. */
export async function smallestOf<T>(
  values: readonly T[],
  variant: (value: T) => Scenario,
  run: Runner,
  { draws, seed }: StudyOptions,
): Promise<T | null> {
  let [low, high] = [0, values.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    const scenario = variant(values[middle]!);
    const own = scenario.machines.length;
    const jobs = jobsOf(scenario, { seed, draws, least: own, most: own, piece: 50 });
    const [row] = machineRows(joined(await run(jobs)), own, own);
    const { confidence } = groundOf(scenario).spec;
    if (1 - row!.shortageChance >= confidence - 1e-12) high = middle;
    else low = middle + 1;
  }
  return values[low] ?? null;
}
