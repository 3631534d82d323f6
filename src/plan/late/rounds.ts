import { demandOf } from '../../demand/demand.ts';
import { cover, lotsOfFills, scoreOf } from '../cover.ts';
import type { Score } from '../plan.ts';
import type { LatestLimit } from './limits.ts';
import { delayed, type Standing } from './standing.ts';

/** The first delay, up to `most`, after which less is served: bags are ready later than a round, or than stock is counted. */
export function roundLimits(
  { problem, activities, score }: Standing,
  index: number,
  most: number,
): LatestLimit[] {
  const own = activities[index]!;
  const { releaseAfterTest, swapMinutes, releaseMinutes } = problem.rules;
  if (own.kind !== 'fill' && own.kind !== 'swap' && !(own.kind === 'test' && releaseAfterTest)) return [];
  const stops = [...problem.rounds.map(({ at }) => at), problem.horizon];
  const filledBy = own.kind === 'swap' ? own.start : own.end;
  const ready = own.kind === 'test' ? own.end : filledBy + swapMinutes + releaseMinutes;
  const delays = stops.map((at) => at - ready);
  // A fill that ends after a test has begun waits for the next one; a test that begins after another no longer is the first.
  if (releaseAfterTest)
    for (const one of activities)
      if (one.kind === 'test') delays.push(one.start - (own.kind === 'test' ? own.start : filledBy));
  const demand = demandOf(problem);
  const before = lotsOfFills(problem, activities);
  const inTurn = [...new Set(delays)].filter((by) => by >= 0 && by <= most).sort((a, b) => a - b);
  for (const later of inTurn) {
    const then = delayed(activities, index, later + 1);
    const lots = lotsOfFills(problem, then);
    const crossed = stops.filter((at) => lots.some((lot, n) => before[n]!.ready <= at && at < lot.ready));
    if (crossed.length === 0) continue;
    if (worse(score, scoreOf(problem, then, cover(problem, demand, lots))))
      return [{ kind: 'round', at: Math.max(...crossed), later }];
  }
  return [];
}

/** Whether less is served, in the order of what is better. */
function worse(before: Score, after: Score): boolean {
  for (const key of ['unmetLitres', 'unmetLitreHours', 'reserveShort'] as const)
    if (Math.abs(after[key] - before[key]) > 1e-9) return after[key] > before[key];
  return false;
}
