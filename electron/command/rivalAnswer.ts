import { parentPort } from 'node:worker_threads';
import { plan } from '../../src/planner/plan.ts';
import { compile } from '../../src/scenario/problem.ts';
import type { RivalQuestion } from './rivalInThread.ts';

// The side of the thread: a plan for each question.
parentPort?.on('message', async ({ scenario, ...options }: RivalQuestion) => {
  parentPort?.postMessage(await plan(compile(scenario), { ...options, clock: () => performance.now() }));
});
