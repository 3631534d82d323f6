import type * as Comlink from 'comlink';
import type { Scenario } from '../../scenario/schema.ts';
import type { HelperService } from '../worker/relief.worker.ts';
import { openThread, type Thread } from './thread.ts';

/** Threads at most: each reads the scenario for itself. */
const MOST = 4;
const reliefWorker = () =>
  new Worker(new URL('../worker/relief.worker.ts', import.meta.url), { type: 'module' });

type Service = Comlink.Remote<HelperService>;

/** Threads that plan a scenario again with something changed; whoever asks waits until one of them is free. */
export interface Helpers {
  readonly threads: number;
  ask<T>(act: (service: Service) => Promise<T>): Promise<T>;
  end(): void;
}

/**
 * One thread for each core, up to four. What they answer does not depend on how many there are.
 * @param failed hears why one of them could not start or go on
 */
export function openHelpers(
  scenario: Scenario,
  failed: (why: string) => void,
  makeWorker: () => Worker = reliefWorker,
  cores: number = navigator.hardwareConcurrency,
): Helpers {
  const threads = Math.max(1, Math.min(MOST, cores || 1));
  const all = Array.from({ length: threads }, () => openThread<HelperService>(makeWorker));
  const waiting: ((thread: Thread<HelperService>) => void)[] = [];
  const free: Thread<HelperService>[] = [];
  const release = (thread: Thread<HelperService>) => {
    const next = waiting.shift();
    if (next) next(thread);
    else free.push(thread);
  };
  for (const thread of all) {
    thread.worker.onerror = (event) => failed(event.message || 'a thread could not start');
    thread.service.begin(scenario).then(
      () => release(thread),
      (error: unknown) => failed(error instanceof Error ? error.message : String(error)),
    );
  }
  return {
    threads,
    async ask(act) {
      const thread =
        free.shift() ?? (await new Promise<Thread<HelperService>>((resolve) => waiting.push(resolve)));
      try {
        return await act(thread.service);
      } finally {
        release(thread);
      }
    },
    end() {
      for (const { worker } of all) worker.terminate();
    },
  };
}
