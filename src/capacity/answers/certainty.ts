import { type Compared, type CompareJob, comparisons } from './agreement.ts';
import type { DecidingRuns, MachineRow } from './answers.ts';
import type { Study } from './study.ts';

const SHORT = 1e-6;
/** Numbers of machines on which the answer turns: the smallest that is enough and one fewer; else those listed. */
function decidingMachines({ own, smallest }: Pick<Study, 'own' | 'smallest'>): number[] {
  if (own === 0) return [];
  if (smallest === null) return [own];
  return smallest > 1 ? [smallest, smallest - 1] : [1];
}

/** Runs to plan fully, the most telling first: near ones and others in turn, each with every deciding number of machines. */
export function decidingJobs(
  made: Pick<Study, 'own' | 'smallest' | 'days' | 'deciding'>,
): Omit<CompareJob, 'scenario' | 'seed'>[] {
  const { near, others } = made.deciding;
  const machines = decidingMachines(made);
  const tries = comparisons(made, 1)[0]?.tries ?? 0;
  const draws: number[] = [];
  for (let n = 0; n < Math.max(near.length, others.length); n++)
    draws.push(...near.slice(n, n + 1), ...others.slice(n, n + 1));
  return draws.flatMap((draw) => machines.map((count) => ({ draw, machines: count, tries })));
}

/** Full plans are begun for so long, s. */
export const PLANNED_SECONDS = 20;

interface Patience {
  /** Plans under way at once. */
  readonly threads: number;
  /** s, from any moment on. */
  readonly now: () => number;
  /** No plan is begun after so many seconds. */
  readonly seconds: number;
  /** Plans made even so. */
  readonly atLeast: number;
  readonly onProgress?: (done: number) => void;
}

/** Plans jobs in their order until the time is over. */
export async function plannedWithin<Result>(
  jobs: readonly Omit<CompareJob, 'scenario' | 'seed'>[],
  compare: (job: Omit<CompareJob, 'scenario' | 'seed'>) => Promise<Result>,
  { threads, now, seconds, atLeast, onProgress }: Patience,
): Promise<Result[]> {
  const began = now();
  const results: Result[] = [];
  let next = 0;
  const goesOn = () => next < jobs.length && (next < atLeast || now() - began < seconds);
  const go = async () => {
    while (goesOn()) {
      const mine = next++;
      results[mine] = await compare(jobs[mine]!);
      onProgress?.(Math.min(1, Math.max((now() - began) / seconds, next / jobs.length)));
    }
  };
  await Promise.all(Array.from({ length: threads }, go));
  return results;
}

/** One number of machines: the fast model over all runs beside full plans of some. */
interface DecidingRow {
  readonly machines: number;
  /** The fast model's chance of shortage over all runs, and half of its 95 % interval. */
  readonly chance: number;
  readonly error: number;
  /** Runs planned fully; those short by plan, and those on which plan and model agree. */
  readonly plans: number;
  readonly plansShort: number;
  readonly agree: number;
  /** Chance of shortage by the full plans, near runs and others weighed as they occur, and its error; null: no plans. */
  readonly planned: number | null;
  readonly plannedError: number | null;
}

/** sure: runs and plans decide; fair: runs decide, plans too few; open: the runs do not decide; against: plans speak against it. */
export type Grade = 'sure' | 'fair' | 'open' | 'against';
export interface Certainty {
  readonly grade: Grade;
  /** Largest share of runs that may be short. */
  readonly allowed: number;
  readonly rows: readonly DecidingRow[];
}

/** A chance seen as `hits` of `n`, and its variance: beta posterior of Jeffreys' prior (Brown, Cai, DasGupta 2001, Stat Sci 16:101-133; from memory). */
function seen(hits: number, n: number): { mean: number; variance: number } {
  const mean = (hits + 0.5) / (n + 1);
  return { mean, variance: (mean * (1 - mean)) / (n + 2) };
}

function rowOf(row: MachineRow, compared: readonly Compared[], { near, share }: DecidingRuns): DecidingRow {
  const mine = compared.filter(({ machines }) => machines === row.machines);
  const isNear = new Set(near);
  const shortOf = (isOf: boolean) => {
    const some = mine.filter(({ draw }) => isNear.has(draw) === isOf);
    return seen(some.filter(({ planned }) => planned > SHORT).length, some.length);
  };
  const [closely, plainly] = [shortOf(true), shortOf(false)];
  const planned = share * closely.mean + (1 - share) * plainly.mean;
  const variance = share ** 2 * closely.variance + (1 - share) ** 2 * plainly.variance;
  return {
    machines: row.machines,
    chance: row.shortageChance,
    error: row.chanceError,
    plans: mine.length,
    plansShort: mine.filter(({ planned }) => planned > SHORT).length,
    agree: mine.filter(({ fast, planned }) => fast > SHORT === planned > SHORT).length,
    planned: mine.length > 0 ? planned : null,
    plannedError: mine.length > 0 ? 1.959964 * Math.sqrt(variance) : null,
  };
}

/** Plans of a row from which on their agreement says something. */
const MANY = 20;
/** Share of plans that must agree. */
const AGREES = 0.9;

function gradeOf(
  rows: readonly DecidingRow[],
  { allowed, smallest }: { allowed: number; smallest: number | null },
): Grade {
  const isEnough = (row: DecidingRow) => row.machines === smallest;
  const isDecided = (row: DecidingRow) => Math.abs(row.chance - allowed) > row.error;
  const speaksAgainst = ({ planned, plannedError, ...row }: DecidingRow) =>
    planned !== null &&
    (isEnough({ planned, plannedError, ...row })
      ? planned - plannedError! > allowed
      : planned + plannedError! < allowed);
  if (rows.some(speaksAgainst)) return 'against';
  if (!rows.every(isDecided)) return 'open';
  return rows.every(({ plans, agree }) => plans >= MANY && agree >= AGREES * plans) ? 'sure' : 'fair';
}

/** How sure the answer is; null: no machine is listed. */
export function certaintyOf(
  made: Pick<Study, 'own' | 'smallest' | 'rows' | 'confidence' | 'deciding'>,
  compared: readonly Compared[],
): Certainty | null {
  const machines = decidingMachines(made);
  if (machines.length === 0) return null;
  const rows = machines.flatMap((count) => {
    const row = made.rows[count - 1];
    return row ? [rowOf(row, compared, made.deciding)] : [];
  });
  const allowed = 1 - made.confidence;
  return { grade: gradeOf(rows, { allowed, smallest: made.smallest }), allowed, rows };
}
