import { type Compared, type CompareJob, compareDraw } from '../../src/capacity/answers/agreement.ts';
import { type Chunk, type DrawsJob, runDraws } from '../../src/capacity/answers/job.ts';
import { plan } from '../../src/planner/plan.ts';

/** The work of one thread: draws, or one draw planned fully. */
export const draws = (job: DrawsJob): Chunk => runDraws(job);
/** With the time it took, s. */
export async function compare(job: CompareJob): Promise<Compared & { seconds: number }> {
  const began = performance.now();
  const compared = await compareDraw(job, plan);
  return { ...compared, seconds: (performance.now() - began) / 1000 };
}
