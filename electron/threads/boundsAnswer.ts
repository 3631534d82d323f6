import { parentPort } from 'node:worker_threads';
import { demandOf } from '../../src/demand/demand.ts';
import { provenInSteps } from '../../src/planner/planner.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { BoundsQuestion } from './boundsInThread.ts';

// The side of the thread: one question, an answer for each step, then null.
parentPort?.once('message', async ({ scenario, allowed, seconds }: BoundsQuestion) => {
  const problem = compile(scenario);
  for await (const proven of provenInSteps(problem, demandOf(problem), { allowed, seconds }))
    parentPort?.postMessage(proven);
  parentPort?.postMessage(null);
});
