import { randomInt, randomUUID } from 'node:crypto';
import { type ConnectionOptions, Queue, QueueEvents, Worker } from 'bullmq';
import { Redis } from 'ioredis';
import type { Runner } from '../../src/capacity/answers/job.ts';
import { InputError } from '../command/input.ts';
import type { Pool } from './pool.ts';
import { chunkOf, openJob, type SealedChunk, type SealedJob, sampleAgrees, sealJob } from './seal.ts';
import { littleEndian, toWire } from './wire.ts';

/**
 * Draws through a queue that several computers share (BullMQ on Redis). A job depends on nothing but its data, so it
 * does not matter which computer runs it, or how often: a worker that is lost stops renewing its lock, and the job
 * goes to another one.
 */
const QUEUE = 'bathtide-capacity-2';
const HOUR = 3600;

/** How long a silent worker keeps its jobs, ms. Tests shorten it. */
interface Patience {
  readonly lock: number;
}
const PATIENCE: Patience = { lock: 30_000 };

/** BullMQ asks for connections that wait for ever; a first try that fails is told at once. */
async function connect(url: string): Promise<Redis> {
  const redis = new Redis(url, {
    maxRetriesPerRequest: null,
    lazyConnect: true,
    retryStrategy: (n) => Math.min(n * 200, 5000),
  });
  let last: Error | null = null;
  redis.on('error', (error: Error) => {
    last = error;
  });
  const failed = new Promise<never>((_, reject) => {
    redis.once('close', () => reject(last ?? new Error('the connection was refused')));
  });
  try {
    await Promise.race([redis.connect(), failed]);
  } catch (error) {
    redis.disconnect();
    const why = last ?? error;
    throw new InputError([
      `The broker at ${withoutPassword(url)} does not answer: ${why instanceof Error ? why.message || String(why) : String(why)}. Expected: the address of a Redis server, e.g. redis://192.168.1.20:6379`,
    ]);
  }
  failed.catch(() => {});
  return redis;
}

export function withoutPassword(url: string): string {
  try {
    const made = new URL(url);
    made.password = '';
    return made.href;
  } catch {
    return url;
  }
}

interface Broker {
  readonly run: Runner;
  close(): Promise<void>;
}

const LOST = 'The broker has lost the jobs: it was restarted or emptied. Start the sweep again.';
const LIES =
  'A worker answered with other numbers than this computer computes. Nothing of it was used. Let every worker run this version of Bathtide, then start the sweep again.';

interface Watch {
  readonly queue: Queue<SealedJob, SealedChunk>;
  readonly connection: Redis;
  readonly url: string;
  /** ms between two looks, and how many looks without an answer are one too many */
  readonly every: number;
  readonly most: number;
}

/** Rejects when the jobs that are waited for are no more: a broker that lost its memory would never answer. */
function watchOver({ queue, connection, url, every, most }: Watch, pending: ReadonlySet<string>) {
  let missed = 0;
  let timer: ReturnType<typeof setInterval> | undefined;
  const gone = new Promise<never>((_, reject) => {
    const look = async () => {
      missed += 1;
      if (missed > most)
        reject(
          new InputError([
            `The broker at ${withoutPassword(url)} does not answer any more. Start the sweep again.`,
          ]),
        );
      if (connection.status !== 'ready') return;
      const [one] = pending;
      if (one === undefined) return;
      const job = await queue.getJob(one);
      missed = 0;
      if (!job && pending.has(one)) reject(new InputError([LOST]));
    };
    timer = setInterval(() => void look().catch(() => undefined), every);
  });
  gone.catch(() => undefined);
  return { gone, end: () => clearInterval(timer) };
}

/**
 * The asking side: puts jobs into the queue and waits for their chunks. Of each chunk one draw is computed here too:
 * a worker of another version, or one that lies, is found out. What was read leaves the broker.
 * @param url redis://[user:password@]host:port or rediss:// for TLS
 * @param signal ends the wait: jobs that nobody began are taken out
 * @throws InputError when the broker does not answer, has lost the jobs, or a worker's numbers are not ours
 */
export async function openBroker(
  url: string,
  { signal, every = 5_000, most = 6 }: { signal?: AbortSignal; every?: number; most?: number } = {},
): Promise<Broker> {
  const connection = await connect(url);
  const options = { connection: connection as unknown as ConnectionOptions };
  const queue = new Queue<SealedJob, SealedChunk>(QUEUE, options);
  const listening = connection.duplicate();
  const events = new QueueEvents(QUEUE, { connection: listening as unknown as ConnectionOptions });
  // A broken connection is tried again by itself; `watchOver` tells when that takes too long.
  const patient = () => undefined;
  listening.on('error', patient);
  queue.on('error', patient);
  events.on('error', patient);
  await events.waitUntilReady();
  // Every job under way listens for its end.
  queue.setMaxListeners(0);
  events.setMaxListeners(0);
  const name = randomUUID();
  let sent = 0;
  return {
    async run(jobs, onDone) {
      const sealed = jobs.map((job) => ({ job, seal: sealJob(job), id: `${name}-${sent++}` }));
      const pending = new Set(sealed.map(({ id }) => id));
      const watch = watchOver({ queue, connection, url, every, most }, pending);
      const added = await queue.addBulk(
        sealed.map(({ seal, id }) => ({
          name: 'draws',
          data: seal,
          opts: { jobId: id, attempts: 5, removeOnComplete: { age: HOUR }, removeOnFail: { age: HOUR } },
        })),
      );
      try {
        return await Promise.all(
          added.map(async (job, n) => {
            const { seal, job: asked, id } = sealed[n]!;
            const answer = await Promise.race([job.waitUntilFinished(events), watch.gone, ended(signal)]);
            pending.delete(id);
            const chunk = chunkOf(answer, seal, asked);
            if (!chunk || !sampleAgrees(chunk, asked, randomInt(asked.count))) throw new InputError([LIES]);
            await job.remove().catch(() => undefined); // it may be gone by its age
            onDone?.(chunk.count);
            return chunk;
          }),
        );
      } catch (error) {
        await Promise.race([Promise.allSettled(added.map((job) => job.remove())), sleep(every)]);
        throw error;
      } finally {
        watch.end();
      }
    },
    async close() {
      await Promise.race([Promise.allSettled([events.close(), queue.close()]), sleep(every)]);
      connection.disconnect();
    },
  };
}

const sleep = (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms).unref());

function ended(signal: AbortSignal | undefined): Promise<never> {
  return new Promise((_, reject) => {
    const end = () => reject(signal?.reason instanceof Error ? signal.reason : new Error('cancelled'));
    if (signal?.aborted) end();
    signal?.addEventListener('abort', end, { once: true });
  });
}

interface Serving {
  /** Jobs done so far. */
  readonly done: () => number;
  close(): Promise<void>;
}

/**
 * The working side: takes jobs from the queue on as many threads as the pool has, until it is closed.
 * @throws InputError when the broker does not answer
 */
export async function serveBroker(url: string, pool: Pool, { lock }: Patience = PATIENCE): Promise<Serving> {
  if (!littleEndian())
    throw new Error('This computer keeps numbers in another byte order; it cannot serve the queue.');
  const connection = await connect(url);
  let done = 0;
  const worker = new Worker<SealedJob, SealedChunk>(
    QUEUE,
    async ({ data }) => {
      const job = openJob(data);
      // Draws run on the pool's threads, so this thread is free to renew the locks.
      const wire = toWire(await pool.draws(job));
      done += 1;
      return { version: data.version, digest: data.digest, wire };
    },
    {
      connection: connection as unknown as ConnectionOptions,
      concurrency: pool.threads,
      lockDuration: lock,
      stalledInterval: lock / 2,
      maxStalledCount: 10,
    },
  );
  worker.on('error', () => {
    // A broken connection is tried again by itself; jobs come back to the queue meanwhile.
  });
  await worker.waitUntilReady();
  return {
    done: () => done,
    async close() {
      await worker.close();
      connection.disconnect();
    },
  };
}
