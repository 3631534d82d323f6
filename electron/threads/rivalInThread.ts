import { Worker } from 'node:worker_threads';
import type { Plan } from '../../src/plan/plan.ts';
import { contest, courseFor, doneOfAll, type Own, plan } from '../../src/planner/plan.ts';
import type { Progress } from '../../src/planner/planner.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

export interface Question {
  readonly scenario: Scenario;
  readonly seed: number;
  /** Of all searches together. */
  readonly seconds: number;
  /** Of each search. */
  readonly tries?: number;
}
export interface RivalQuestion extends Omit<Question, 'seconds'>, Own {
  readonly hasty: boolean;
  /** Wall clock, ms since 1970, at which the search has to end: a thread takes a while to begin. */
  readonly until: number;
}

/** With less time than this for all searches, s, not even the first pair would come to its end. */
const HASTE = 4;
/** How long after its own clock should have ended it a second search is still waited for, s. */
const GRACE = 2;

/**
 * Plans with searches in pairs (see `contest`), the first of each on this thread, the second on another one. A second
 * search that fails or does not end leaves the plans of the others, with a remark.
 * @param script what the other thread runs
 */
export async function planWithRival(
  problem: Problem,
  { scenario, seed, seconds, ...work }: Question,
  onProgress?: (progress: Progress) => void,
  script = new URL('./rivalThread.mjs', import.meta.url),
): Promise<Plan> {
  const worker = new Worker(script, { execArgv: [] });
  // The process need not wait for it when this thread's search fails.
  worker.unref();
  const each = { ...work, hasty: seconds < HASTE };
  const began = performance.now();
  const left = () => seconds - (performance.now() - began) / 1000;
  let longest = 0;
  // For all rounds: a thread that ends between two of them is known to have.
  const ended = new Promise<string>((resolve) => {
    worker.once('error', (error) => resolve(`it failed (${error.message})`));
    worker.once('exit', (status) => resolve(`its thread ended with status ${status}`));
  });
  const rival = (own: Own): Promise<Plan> =>
    new Promise((resolve) => {
      worker.once('message', resolve);
      const until = Date.now() + 1000 * left();
      worker.postMessage({ scenario, ...each, ...own, until } satisfies RivalQuestion);
    });
  const made = await contest(
    seed,
    async ([own, others], round, course) => {
      const before = left();
      const second = rival(others);
      const first = await plan(problem, {
        ...each,
        ...own,
        seconds: left(),
        clock: () => performance.now(),
        ...(onProgress && {
          onProgress(progress) {
            const done = doneOfAll(round, progress.done, course ?? courseFor(progress, progress));
            onProgress({ ...progress, done });
          },
        }),
      });
      let watch: ReturnType<typeof setTimeout> | undefined;
      const late = new Promise<string>((resolve) => {
        watch = setTimeout(() => resolve('it was not done in time'), 1000 * Math.max(0, left() + GRACE));
      });
      const answer = await Promise.race([second, ended, late]);
      clearTimeout(watch);
      longest = Math.max(longest, before - left());
      return [first, answer];
    },
    { late: () => left() < longest },
  );
  // Not awaited: ending takes a moment, and the answer is there.
  void worker.terminate();
  return made;
}
