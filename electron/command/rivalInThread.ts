import { Worker } from 'node:worker_threads';
import type { Plan } from '../../src/plan/plan.ts';
import { plan } from '../../src/planner/plan.ts';
import type { Progress } from '../../src/planner/planner.ts';
import { betterPlan } from '../../src/planner/rivals.ts';
import type { Problem } from '../../src/scenario/problem.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

export interface RivalQuestion {
  readonly scenario: Scenario;
  /** Of the first search. */
  readonly seed: number;
  readonly seconds: number;
  readonly tries?: number;
}

/** How long after its own clock should have ended it the second search is still waited for, s. */
const GRACE = 2;

/**
 * Plans with two searches, this thread's and another one's, and gives the better plan. A second search that fails or
 * does not end leaves the first one's plan, with a remark.
 * @param script what the other thread runs
 */
export async function planWithRival(
  problem: Problem,
  question: RivalQuestion,
  onProgress?: (progress: Progress) => void,
  script = new URL('./rivalThread.mjs', import.meta.url),
): Promise<Plan> {
  const worker = new Worker(script, { execArgv: [] });
  // The process need not wait for it when this thread's search fails.
  worker.unref();
  const began = performance.now();
  const rival = new Promise<Plan | string>((resolve) => {
    worker.once('message', resolve);
    worker.once('error', (error) => resolve(`it failed (${error.message})`));
    worker.once('exit', (status) => resolve(`its thread ended with status ${status}`));
    worker.postMessage(question);
  });
  const { seed, seconds, tries } = question;
  const made = await plan(problem, {
    seed,
    seconds,
    clock: () => performance.now(),
    ...(tries !== undefined && { tries }),
    ...(onProgress && { onProgress }),
  });
  const left = 1000 * (seconds + GRACE) - (performance.now() - began);
  let watch: ReturnType<typeof setTimeout> | undefined;
  const late = new Promise<string>((resolve) => {
    watch = setTimeout(() => resolve('it was not done in time'), Math.max(0, left));
  });
  const answer = await Promise.race([rival, late]);
  clearTimeout(watch);
  // Not awaited: ending takes a moment, and the answer is there.
  void worker.terminate();
  return betterPlan(made, answer);
}
