import { parentPort } from 'node:worker_threads';
import { plan } from '../../src/planner/plan.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { RivalQuestion } from './rivalInThread.ts';

// The side of the thread: a plan for each question.
parentPort?.on('message', async ({ scenario, until, ...options }: RivalQuestion) => {
  const seconds = Math.max(0, until - Date.now()) / 1000;
  const clock = () => performance.now();
  parentPort?.postMessage(await plan(compile(scenario), { ...options, seconds, clock }));
});
