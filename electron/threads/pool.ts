import { setMaxListeners } from 'node:events';
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { Piscina } from 'piscina';
import type { Compared, CompareJob } from '../../src/capacity/answers/agreement.ts';
import type { Chunk, DrawsJob, Runner } from '../../src/capacity/answers/job.ts';

/** Threads on this computer. What they return does not depend on how many there are. */
export interface Pool {
  readonly threads: number;
  readonly run: Runner;
  draws(job: DrawsJob): Promise<Chunk>;
  compare(job: CompareJob): Promise<Compared & { readonly seconds: number }>;
  close(): Promise<void>;
}

/**
 * @param threads default: one a core
 * @param signal ends all work: what runs rejects with an AbortError
 */
export function openPool({
  threads = availableParallelism(),
  signal,
}: {
  threads?: number;
  signal?: AbortSignal;
} = {}): Pool {
  // Every job under way listens for the end.
  if (signal) setMaxListeners(0, signal);
  const piscina = new Piscina({
    filename: fileURLToPath(new URL('./thread.mjs', import.meta.url)),
    minThreads: threads,
    maxThreads: threads,
    idleTimeout: 60_000,
  });
  const draws = (job: DrawsJob): Promise<Chunk> => piscina.run(job, { name: 'draws', signal });
  return {
    threads,
    draws,
    compare: (job) => piscina.run(job, { name: 'compare', signal }),
    run: (jobs, onDone) =>
      Promise.all(
        jobs.map(async (job) => {
          const chunk = await draws(job);
          onDone?.(chunk.count);
          return chunk;
        }),
      ),
    close: () => piscina.destroy(),
  };
}
