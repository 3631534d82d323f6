import { randomUUID } from 'node:crypto';
import { type ConnectionOptions, Queue, QueueEvents, Worker } from 'bullmq';
import { Redis } from 'ioredis';
import type { DrawsJob, Runner } from '../../src/capacity/answers/job.ts';
import { InputError } from '../command/input.ts';
import type { Pool } from './pool.ts';
import { fromWire, littleEndian, toWire, type WireChunk } from './wire.ts';

/**
 * Draws through a queue that several computers share (BullMQ on Redis). A job depends on nothing but its data, so it
 * does not matter which computer runs it, or how often: a worker that is lost stops renewing its lock, and the job
 * goes to another one.
 */
const QUEUE = 'bathtide-capacity';
const HOUR = 3600;

/** How long a silent worker keeps its jobs, ms. Tests shorten it. */
export interface Patience {
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

export interface Broker {
  readonly run: Runner;
  close(): Promise<void>;
}

/**
 * The asking side: puts jobs into the queue and waits for their chunks.
 * @param url redis://[user:password@]host:port or rediss:// for TLS
 * @param signal ends the wait: jobs that nobody began are taken out
 * @throws InputError when the broker does not answer
 */
export async function openBroker(url: string, { signal }: { signal?: AbortSignal } = {}): Promise<Broker> {
  const connection = await connect(url);
  const options = { connection: connection as unknown as ConnectionOptions };
  const queue = new Queue<DrawsJob, WireChunk>(QUEUE, options);
  const events = new QueueEvents(QUEUE, {
    connection: connection.duplicate() as unknown as ConnectionOptions,
  });
  await events.waitUntilReady();
  // Every job under way listens for its end.
  queue.setMaxListeners(0);
  events.setMaxListeners(0);
  const name = randomUUID();
  let sent = 0;
  return {
    async run(jobs, onDone) {
      const added = await queue.addBulk(
        jobs.map((data) => ({
          name: 'draws',
          data,
          opts: {
            jobId: `${name}-${sent++}`,
            attempts: 5,
            removeOnComplete: { age: HOUR },
            removeOnFail: { age: HOUR },
          },
        })),
      );
      const cancelled = new Promise<never>((_, reject) => {
        const end = () => reject(signal?.reason instanceof Error ? signal.reason : new Error('cancelled'));
        if (signal?.aborted) end();
        signal?.addEventListener('abort', end, { once: true });
      });
      try {
        return await Promise.all(
          added.map(async (job) => {
            const wire = await Promise.race([job.waitUntilFinished(events), cancelled]);
            onDone?.(wire.count);
            return fromWire(wire);
          }),
        );
      } catch (error) {
        await Promise.allSettled(added.map((job) => job.remove()));
        throw error;
      }
    },
    async close() {
      await events.close();
      await queue.close();
      connection.disconnect();
    },
  };
}

export interface Serving {
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
  const worker = new Worker<DrawsJob, WireChunk>(
    QUEUE,
    async ({ data }) => {
      // Draws run on the pool's threads, so this thread is free to renew the locks.
      const wire = toWire(await pool.draws(data));
      done += 1;
      return wire;
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
