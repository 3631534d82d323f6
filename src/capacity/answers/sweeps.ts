import type { Scenario } from '../../scenario/schema.ts';
import { groundOf } from '../draws/draw.ts';
import { type MachineRow, machineRows, smallestMachines } from './answers.ts';
import { chanceError } from './bands.ts';
import { jobsOf, type Runner } from './job.ts';
import type { Lever, LeverSaving } from './levers.ts';
import { joined } from './simulate.ts';
import type { StudyOptions } from './study.ts';

/** Chance of shortage for machines x technicians. */
export interface HeatMap {
  readonly machines: readonly number[];
  /** Technicians more in every shift than listed, 0 first. */
  readonly more: readonly number[];
  /** [technicians][machines], all of the same runs, so that what differs is the technicians' doing and not chance. */
  readonly rows: readonly (readonly MachineRow[])[];
  /** Runs of each row. */
  readonly draws: number;
}

/** So many technicians more in every shift. */
const withMoreTechnicians = (scenario: Scenario, more: number): Scenario => ({
  ...scenario,
  shifts: scenario.shifts.map((row) => ({ ...row, technicians: row.technicians + more })),
});

/** Each row is simulated with the same first runs, the one with the technicians listed too. */
export async function heatMap(
  scenario: Scenario,
  run: Runner,
  {
    draws,
    seed,
    machines,
    more,
    onProgress,
  }: StudyOptions & { machines: readonly number[]; more: readonly number[] },
): Promise<HeatMap> {
  const most = Math.max(...machines);
  const least = Math.min(...machines);
  const rows: MachineRow[][] = [];
  const asked = [0, ...more.filter((one) => one > 0)];
  for (const count of asked) {
    const jobs = jobsOf(withMoreTechnicians(scenario, count), { seed, draws, least, most, piece: 50 });
    const made = machineRows(joined(await run(jobs)), most, least);
    rows.push(machines.map((machine) => made[machine - least]!));
    onProgress?.(rows.length / asked.length);
  }
  return { machines, more: asked, rows, draws };
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
      chanceError: chanceError(after.chance, options.draws),
      enough: after.smallest,
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
