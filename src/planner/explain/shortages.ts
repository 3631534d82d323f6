import type { Plan } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { reachOf, runnableMinutes } from '../bounds/reach.ts';

/** L that make no difference. */
export const SAME = 1e-6;

/** Needs of one bath that stay unmet in rounds that follow each other. */
export interface Gap {
  readonly bath: number;
  /** First and last round. */
  readonly first: number;
  readonly last: number;
  /** L */
  readonly litres: number;
  /** Proven: no fill of the bath can be ready by the last of these rounds, whatever the plan. */
  readonly stockOnly: boolean;
}

/**
 * The earliest minute at which bags of a bath can be ready, whatever the plan: every machine that may run it has all
 * technicians, water and tests to itself, and sets up as briefly as it can. Infinity when none can.
 */
export function earliestReady(problem: Problem, bath: number): number {
  const { circuitMinutes, bathMinutes, swapMinutes, releaseMinutes } = problem.rules;
  const ends = problem.machines.map((machine) => {
    if (!machine.baths.includes(bath)) return Number.POSITIVE_INFINITY;
    const { loaded } = machine;
    const setUp = !loaded ? circuitMinutes : loaded.bath === bath ? 0 : Math.min(circuitMinutes, bathMinutes);
    const { nextEnd } = reachOf(problem, machine, runnableMinutes(problem, machine.water));
    const end = nextEnd[Math.min(setUp, problem.horizon)]!;
    return end > problem.horizon ? Number.POSITIVE_INFINITY : end;
  });
  return Math.min(...ends, Number.POSITIVE_INFINITY) + swapMinutes + releaseMinutes;
}

/** The unmet needs of a plan, by bath, rounds that follow each other together; those that only stock can cover apart. */
export function gapsOf(problem: Problem, plan: Pick<Plan, 'needs'>): Gap[] {
  return problem.baths.flatMap((id, bath) => {
    const rows = plan.needs.filter((row) => row.bath === id);
    const ready = earliestReady(problem, bath);
    const gaps: Gap[] = [];
    let follows = false;
    for (const row of rows) {
      const stockOnly = row.at < ready;
      const before = gaps.at(-1);
      if (row.unmetLitres <= SAME) follows = false;
      else if (follows && before?.stockOnly === stockOnly)
        gaps[gaps.length - 1] = { ...before, last: row.round, litres: before.litres + row.unmetLitres };
      else {
        gaps.push({ bath, first: row.round, last: row.round, litres: row.unmetLitres, stockOnly });
        follows = true;
      }
    }
    return gaps;
  });
}

/** L of a gap that another plan leaves unmet. */
export function unmetIn(problem: Problem, plan: Pick<Plan, 'needs'>, gap: Gap): number {
  return plan.needs
    .filter(({ bath, round }) => bath === problem.baths[gap.bath] && round >= gap.first && round <= gap.last)
    .reduce((sum, row) => sum + row.unmetLitres, 0);
}
