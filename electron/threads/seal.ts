import { createHash } from 'node:crypto';
import { UnrecoverableError } from 'bullmq';
import { z } from 'zod';
import { type Chunk, type DrawsJob, runDraws } from '../../src/capacity/answers/job.ts';
import { readScenario } from '../../src/scenario/read.ts';
import { fromWire, type WireChunk } from './wire.ts';

z.config({ jitless: true });

/** Of the numbers that a job comes to: raised with every change of the model, so that two versions never mix. */
const VERSION = 2;

/** A job as it lies in the queue, and its answer: both say which version and which scenario they are of. */
export interface SealedJob {
  readonly version: number;
  /** SHA-256 of the job as JSON, hex */
  readonly digest: string;
  readonly job: DrawsJob;
}
export interface SealedChunk {
  readonly version: number;
  readonly digest: string;
  readonly wire: WireChunk;
}

const digestOf = (job: DrawsJob): string => createHash('sha256').update(JSON.stringify(job)).digest('hex');

export const sealJob = (job: DrawsJob): SealedJob => ({ version: VERSION, digest: digestOf(job), job });

const whole = (least: number, most: number) => z.number().int().min(least).max(most);
const sealedJob = z.strictObject({
  version: z.literal(VERSION),
  digest: z.string().length(64),
  job: z.strictObject({
    scenario: z.unknown(),
    seed: whole(0, Number.MAX_SAFE_INTEGER),
    first: whole(0, 1e9),
    count: whole(1, 10_000),
    least: whole(1, 1_000).optional(),
    most: whole(1, 1_000),
  }),
});

/**
 * A job from the queue, judged before anything of it runs: anybody who reaches the broker can put one there.
 * @throws UnrecoverableError, so that it is not tried again: another version, a spoilt job, a scenario with errors
 */
export function openJob(data: unknown): DrawsJob {
  const parsed = sealedJob.safeParse(data);
  if (!parsed.success)
    throw new UnrecoverableError('The job is not of the agreed shape, or of another version.');
  const job = parsed.data.job as DrawsJob;
  if (digestOf((data as SealedJob).job) !== parsed.data.digest)
    throw new UnrecoverableError('The job is not the one that was asked for.');
  if (!readScenario(JSON.stringify(job.scenario)).ok)
    throw new UnrecoverableError('The scenario of the job has errors.');
  return job;
}

const TABLES = ['census', 'bags', 'short', 'cause', 'round', 'supplyAtStart', 'supplyRound'] as const;

/** The chunk that an answer holds, or null when it is not the answer to this job. */
export function chunkOf(answer: unknown, { version, digest }: SealedJob, job: DrawsJob): Chunk | null {
  const sealed = answer as SealedChunk | null;
  if (sealed?.version !== version || sealed.digest !== digest) return null;
  try {
    const chunk = fromWire(sealed.wire);
    if (chunk.first !== job.first || chunk.count !== job.count) return null;
    return TABLES.every((name) => chunk[name].length % job.count === 0) &&
      chunk.short.length === job.count * job.most
      ? chunk
      : null;
  } catch {
    return null; // no base64, or a table cut off
  }
}

/** Is one draw of the chunk what this computer computes? @param n which, 0..count-1 */
export function sampleAgrees(chunk: Chunk, job: DrawsJob, n: number): boolean {
  const own = runDraws({ ...job, first: job.first + n, count: 1 });
  return TABLES.every((name) => {
    const width = own[name].length;
    const theirs = chunk[name].subarray(n * width, (n + 1) * width);
    return (
      chunk[name].length === width * job.count && own[name].every((value, at) => Object.is(value, theirs[at]))
    );
  });
}
