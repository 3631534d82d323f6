import { type Compared, type CompareJob, compareDraw } from '../../src/capacity/agreement.ts';
import { type Chunk, type DrawsJob, runDraws } from '../../src/capacity/job.ts';
import { plan } from '../../src/planner/plan.ts';

/** The work of one thread: draws, or one draw planned fully. */
export const draws = (job: DrawsJob): Chunk => runDraws(job);
export const compare = (job: CompareJob): Promise<Compared> => compareDraw(job, plan);
