import { parentPort } from 'node:worker_threads';
import { plan } from '../../src/planner/plan.ts';
import { rivalOf } from '../../src/planner/rivals.ts';
import { compile } from '../../src/scenario/problem.ts';
import type { RivalQuestion } from './rivalInThread.ts';

// The side of the thread: one question, one plan.
parentPort?.once('message', async ({ scenario, seed, ...limits }: RivalQuestion) => {
  const made = await plan(compile(scenario), {
    ...limits,
    ...rivalOf(seed),
    clock: () => performance.now(),
  });
  parentPort?.postMessage(made);
});
