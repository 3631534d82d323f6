import type * as Comlink from 'comlink';
import type { Compared, CompareJob } from '../../capacity/answers/agreement.ts';
import type { Chunk, DrawsJob } from '../../capacity/answers/job.ts';
import { openThread } from '../state/thread.ts';
import type { CapacityService } from '../worker/capacity.worker.ts';

/** Why work ended that a person cancelled. */
export class Cancelled extends Error {
  constructor() {
    super('cancelled');
  }
}

/** Draws on all cores of this computer; what they give does not depend on how many there are. */
export interface Threads {
  readonly count: number;
  run(jobs: readonly DrawsJob[], onDone?: (done: number) => void): Promise<Chunk[]>;
  compare(job: CompareJob): Promise<Compared>;
  /** Ends everything at once; what runs rejects with `Cancelled`. */
  close(): void;
}

const MOST_THREADS = 8;
const makeWorker = () =>
  new Worker(new URL('../worker/capacity.worker.ts', import.meta.url), { type: 'module' });

export function openThreads(): Threads {
  const count = Math.max(1, Math.min(MOST_THREADS, navigator.hardwareConcurrency || 2));
  let cancel: (reason: Error) => void = () => {};
  // Terminated threads never answer, so every wait is raced against this.
  const ended = new Promise<never>((_, reject) => {
    cancel = reject;
  });
  ended.catch(() => {});
  let over = false;
  const workers = Array.from({ length: count }, () => {
    const thread = openThread<CapacityService>(makeWorker);
    thread.worker.onerror = (event) => cancel(new Error(event.message || 'a thread could not start'));
    return thread;
  });
  const idle = workers.map(({ service }) => service);
  const waiting: ((service: Comlink.Remote<CapacityService>) => void)[] = [];
  /** One piece of work on the next thread that is free. */
  async function once<Result>(
    work: (service: Comlink.Remote<CapacityService>) => Promise<Result>,
  ): Promise<Result> {
    const service =
      idle.pop() ?? (await new Promise<Comlink.Remote<CapacityService>>((take) => waiting.push(take)));
    try {
      // A thread that has ended takes no question.
      return await (over ? ended : Promise.race([work(service), ended]));
    } finally {
      const next = waiting.shift();
      if (next) next(service);
      else idle.push(service);
    }
  }
  return {
    count,
    run: (jobs, onDone) =>
      Promise.all(
        jobs.map(async (job) => {
          const chunk = await once((service) => service.draws(job));
          onDone?.(chunk.count);
          return chunk;
        }),
      ),
    compare: (job) => once((service) => service.compare(job)),
    close() {
      cancel(new Cancelled());
      over = true;
      for (const { end } of workers) end();
    },
  };
}
