import * as Comlink from 'comlink';
import type { Compared, CompareJob } from '../../capacity/answers/agreement.ts';
import type { Chunk, DrawsJob } from '../../capacity/answers/job.ts';
import type { CapacityService } from '../worker/capacity.worker.ts';

/** Why work ended that a person cancelled. */
export class Cancelled extends Error {
  constructor() {
    super('cancelled');
  }
}

/** Draws on all cores of this computer; what they give does not depend on how many there are. */
export interface Threads {
  run(jobs: readonly DrawsJob[], onDone?: (done: number) => void): Promise<Chunk[]>;
  compare(jobs: readonly CompareJob[], onDone?: (done: number) => void): Promise<Compared[]>;
  /** Ends everything at once; what runs rejects with `Cancelled`. */
  close(): void;
}

const MOST_THREADS = 8;

export function openThreads(): Threads {
  const count = Math.max(1, Math.min(MOST_THREADS, navigator.hardwareConcurrency || 2));
  let cancel: (reason: Error) => void = () => {};
  // Terminated threads never answer, so every wait is raced against this.
  const ended = new Promise<never>((_, reject) => {
    cancel = reject;
  });
  ended.catch(() => {});
  const workers = Array.from({ length: count }, () => {
    const worker = new Worker(new URL('../worker/capacity.worker.ts', import.meta.url), { type: 'module' });
    worker.onerror = (event) => cancel(new Error(event.message || 'a thread could not start'));
    return { worker, service: Comlink.wrap<CapacityService>(worker) };
  });
  async function spread<Job, Result>(
    jobs: readonly Job[],
    work: (service: Comlink.Remote<CapacityService>, job: Job) => Promise<Result>,
    onDone: (result: Result) => void,
  ): Promise<Result[]> {
    const results: Result[] = new Array(jobs.length);
    let next = 0;
    const go = async (service: Comlink.Remote<CapacityService>) => {
      while (next < jobs.length) {
        const mine = next++;
        const result = await Promise.race([work(service, jobs[mine]!), ended]);
        results[mine] = result;
        onDone(result);
      }
    };
    await Promise.all(workers.map(({ service }) => go(service)));
    return results;
  }
  return {
    run: (jobs, onDone) =>
      spread(
        jobs,
        (service, job) => service.draws(job),
        ({ count: done }) => onDone?.(done),
      ),
    compare: (jobs, onDone) =>
      spread(
        jobs,
        (service, job) => service.compare(job),
        () => onDone?.(1),
      ),
    close() {
      cancel(new Cancelled());
      for (const { worker } of workers) worker.terminate();
    },
  };
}
