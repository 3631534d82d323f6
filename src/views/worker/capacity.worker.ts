import * as Comlink from 'comlink';
import wasmUrl from 'highs/runtime?url';
import { type CompareJob, compareDraw } from '../../capacity/answers/agreement.ts';
import { type Chunk, type DrawsJob, runDraws } from '../../capacity/answers/job.ts';
import { plan } from '../../planner/plan.ts';
import { locateHighs } from '../../planner/planner.ts';

locateHighs(new URL(wasmUrl, import.meta.url).href);

/** The work of one thread: draws, or one draw planned fully. */
const service = {
  draws(job: DrawsJob): Chunk {
    const chunk = runDraws(job);
    const buffers = Object.values(chunk).flatMap((part) => (ArrayBuffer.isView(part) ? [part.buffer] : []));
    return Comlink.transfer(chunk, buffers);
  },
  compare: (job: CompareJob) => compareDraw(job, plan),
};
export type CapacityService = typeof service;

Comlink.expose(service);
