import type { Scenario } from '../../scenario/schema.ts';
import { type Copied, copiedOf, fullestOf } from '../draws/copies.ts';
import { type Ground, groundOf } from '../draws/draw.ts';
import {
  bagsPerPatientDay,
  type DecidingRuns,
  decidingRuns,
  type FirstShort,
  firstShort,
  type MachineRow,
  machineRows,
  meanCensus,
  NO_LESS,
  peakCensus,
  type SupplyAnswer,
  smallestMachines,
  supplyAnswers,
} from './answers.ts';
import { type Chunk, jobsOf, type Runner } from './job.ts';
import { freeId } from './levers.ts';
import { type Given, givingFirst, limitsOf } from './limits.ts';
import { type DayBands, dayBands, joined } from './simulate.ts';

/** How many patients and bags, and how many machines they need: the administrator's answer. */
export interface Study {
  readonly scenario: Scenario;
  readonly draws: number;
  readonly seed: number;
  readonly confidence: number;
  /** Machines in the scenario's list. */
  readonly own: number;
  readonly days: readonly DayBands[];
  readonly rows: readonly MachineRow[];
  readonly smallest: number | null;
  /** The same question were supplies without end; null: they are not what lacks, or there is an answer as it is. */
  readonly supplied: {
    readonly rows: readonly MachineRow[];
    readonly smallest: number | null;
    readonly draws: number;
  } | null;
  /** What a machine beyond those listed is; null: none is listed. */
  readonly copied: Copied | null;
  /**
   * The same question were machines beyond the list copies of its fullest one, supplies without end where those lack;
   * null: the last one is as good, or there is an answer without.
   */
  readonly fuller: {
    readonly id: string;
    readonly smallest: number | null;
    readonly last: MachineRow;
  } | null;
  /** Runs on which the answer turns: full plans check it there. */
  readonly deciding: DecidingRuns;
  readonly first: FirstShort;
  readonly supplies: readonly SupplyAnswer[];
  /** What gives first stands first. */
  readonly limits: readonly Given[];
  /** Highest census over the days. */
  readonly peak: { readonly mean: number; readonly p95: number; readonly day: number };
  /** Patients under therapy on a day, mean over days and runs. */
  readonly meanCensus: number;
  /** Bags per patient and day. */
  readonly bagsPerPatientDay: number;
  /** What the reader must know, e.g. that a machine is not there for the whole forecast. */
  readonly remarks: readonly string[];
}

export interface StudyOptions {
  readonly draws: number;
  readonly seed: number;
  /** 0..1 */
  readonly onProgress?: (done: number) => void;
}

/** Draws of the look ahead that finds out how many machines are worth asking about. */
const PILOT = 200;
const MOST_MACHINES = 96;

interface Pilot {
  /** Numbers of machines worth all the runs: with fewer, nearly every draw of the pilot was short. */
  readonly least: number;
  readonly most: number;
  readonly rows: readonly MachineRow[];
}

/** Judged for 1..most machines: enough to see where more machines stop to help. */
async function worthAsking(scenario: Scenario, ground: Ground, seed: number, run: Runner): Promise<Pilot> {
  const own = scenario.machines.length;
  const { confidence } = ground.spec;
  let most = Math.max(own + 4, 8);
  for (;;) {
    const draws = Math.min(PILOT, ground.spec.draws);
    const rows = machineRows(joined(await run(jobsOf(scenario, { seed, draws, most, piece: 25 }))), most);
    // Half of the allowed chance: more runs must not push the answer off the end of the table.
    const enough = rows.find(({ shortageChance }) => shortageChance <= (1 - confidence) / 2)?.machines;
    const hopeful = rows.find(({ shortageChance }) => shortageChance < 1)?.machines ?? own;
    const pilot = (upTo: number): Pilot => ({
      least: Math.max(1, Math.min(own, hopeful - 1)),
      most: Math.max(own + 2, upTo),
      rows,
    });
    if (enough !== undefined) return pilot(enough + 1);
    const last = rows.at(-1)!;
    const flat = rows.find(({ bagsShort }) => bagsShort <= last.bagsShort * NO_LESS + 1e-6)!.machines;
    if (flat < most - 1 || most >= MOST_MACHINES) return pilot(Math.min(flat + 1, MOST_MACHINES));
    most = Math.min(2 * most, MOST_MACHINES);
  }
}

/** Hopeless numbers of machines as the pilot saw them, the others over all runs. */
function rowsOf({ rows: hopeless, least, most }: Pilot, all: Chunk, own: number): MachineRow[] {
  const judged = machineRows(all, most, least);
  // The pilot's runs are the first ones of all, and what they ask for more or less, they ask of any number of machines.
  const pilot = hopeless[least - 1];
  const more = pilot ? judged[0]!.bagsShort - pilot.bagsShort : 0;
  const more95 = pilot ? judged[0]!.p95BagsShort - pilot.p95BagsShort : 0;
  const before = hopeless.slice(0, least - 1).map((row) => ({
    ...row,
    bagsShort: row.bagsShort + more,
    p95BagsShort: row.p95BagsShort + more95,
  }));
  const rows = [...before, ...judged];
  // One row is enough to see that more machines stop to help.
  const last = rows.at(-1)!;
  const flat = rows.find(
    ({ bagsShort, shortageChance }) =>
      bagsShort <= last.bagsShort * NO_LESS + 1e-6 && shortageChance <= last.shortageChance + 1e-9,
  )!;
  return rows.slice(0, Math.max(own + 2, flat.machines + 1));
}

function remarksOn({ spec, problem, scenario }: Ground): string[] {
  const remarks: string[] = [];
  for (const { id, windows } of problem.machines) {
    const there = windows.reduce((sum, { from, to }) => sum + to - from, 0);
    if (there < problem.horizon)
      remarks.push(
        `Machine ${id} is available for ${Math.round((100 * there) / problem.horizon)} % of the ${spec.days} days, as typed.`,
      );
  }
  problem.water.forEach(({ id }, source) => {
    if (!problem.machines.some(({ water }) => water === source))
      remarks.push(`No machine uses water source ${id}: its water changes nothing here.`);
  });
  if (spec.days > scenario.days)
    remarks.push(
      `The forecast looks ${spec.days} days ahead; the scenario plans ${scenario.days}. Shifts and bag rounds go on as typed.`,
    );
  return remarks;
}

/** Draws of the second question, machines were supplies without end. */
const SUPPLIED = 2000;

/** How runs are made, and of what. */
interface Asking {
  readonly ground: Ground;
  readonly run: Runner;
  readonly seed: number;
  readonly draws: number;
}

async function suppliedAnswer(
  asking: Asking,
  { rows, supplies }: Pick<Study, 'rows' | 'supplies'>,
): Promise<Study['supplied']> {
  const { scenario, spec } = asking.ground;
  // The first missing bag may lack a machine and all later ones supplies.
  const lacks =
    rows.some(({ causes }) => causes.supplies > 0.001) ||
    supplies.some(({ runsOut }) => runsOut > 1 - spec.confidence);
  if (!scenario.supplies?.length || !lacks || smallestMachines(rows, spec.confidence) !== null) return null;
  return asked({ ...scenario, supplies: [] }, asking);
}

/** Rows of a scenario that differs from the ground's in machines or supplies. */
async function asked(scenario: Scenario, { ground, run, seed, draws }: Asking) {
  const pilot = await worthAsking(scenario, ground, seed, run);
  const count = Math.min(draws, SUPPLIED);
  const all = joined(await run(jobsOf(scenario, { seed, draws: count, ...pilot })));
  const rows = rowsOf(pilot, all, scenario.machines.length);
  return { rows, smallest: smallestMachines(rows, ground.spec.confidence), draws: count };
}

async function fullerAnswer(
  asking: Asking,
  made: Pick<Study, 'smallest' | 'supplied'>,
): Promise<Study['fuller']> {
  const { scenario, problem } = asking.ground;
  const index = fullestOf(problem);
  if (index === null || made.smallest !== null || typeof made.supplied?.smallest === 'number') return null;
  const { machines } = scenario;
  const { id } = machines[index]!;
  const copy = {
    ...machines[index]!,
    id: freeId(
      id,
      machines.map((one) => one.id),
    ),
    loaded: null,
  };
  const full = { ...scenario, machines: [...machines, copy], ...(made.supplied && { supplies: [] }) };
  const { rows, smallest } = await asked(full, asking);
  return { id, smallest, last: rows.at(-1)! };
}

/** The whole answer for a scenario without error faults; all chance comes from the seed. */
export async function study(
  scenario: Scenario,
  run: Runner,
  { draws, seed, onProgress }: StudyOptions,
): Promise<Study> {
  const ground = groundOf(scenario);
  const { spec, problem } = ground;
  const asking: Asking = { ground, run, seed, draws };
  const own = scenario.machines.length;
  const pilot = own === 0 ? { least: 1, most: 0, rows: [] } : await worthAsking(scenario, ground, seed, run);
  const { most } = pilot;
  const jobs = jobsOf(scenario, { seed, draws, ...pilot });
  let done = 0;
  const chunks: Chunk[] = await run(jobs, (count) => {
    done += count;
    onProgress?.(done / draws);
  });
  const all = joined(chunks);
  const rows = own === 0 ? [] : rowsOf(pilot, all, own);
  const perPatient = bagsPerPatientDay(all, ground);
  const smallest = smallestMachines(rows, spec.confidence);
  const supplies = supplyAnswers(all, ground);
  const supplied = await suppliedAnswer(asking, { rows, supplies });
  const peak = peakCensus(all, spec.days);
  const limits = own === 0 ? [] : limitsOf(ground, perPatient.byBath, own);
  return {
    scenario,
    draws,
    seed,
    confidence: spec.confidence,
    own,
    days: dayBands(all, spec.days, problem.baths.length),
    rows,
    smallest,
    supplied,
    copied: copiedOf(problem),
    fuller: await fullerAnswer(asking, { smallest, supplied }),
    deciding: decidingRuns(all, {
      most,
      least: pilot.least,
      machines: smallest === null ? own : smallest - 1,
    }),
    first: own === 0 ? { chance: 0, minute: null, median: null } : firstShort(all, most, own, ground),
    supplies,
    limits:
      own === 0
        ? []
        : givingFirst(limits, { row: rows[own - 1]!, supplies, peak: peak.p95, confidence: spec.confidence }),
    peak,
    meanCensus: meanCensus(all),
    bagsPerPatientDay: perPatient.all,
    remarks: remarksOn(ground),
  };
}
