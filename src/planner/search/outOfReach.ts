import type { Demand } from '../../demand/demand.ts';
import { cover } from '../../plan/cover.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { lotServes, type Sink, sinksOf } from '../bounds/sinks.ts';

/** What no fill that is still to come can serve. To search for it is in vain, and being without it is no reason not to rest. */
export interface OutOfReach {
  /** 1: no fill can serve this round, [bath x rounds + round]. */
  readonly rounds: Uint8Array<ArrayBuffer>;
  /** Parts of these rounds that lots alone leave unmet. */
  readonly unmetParts: number;
  /** Parts of reserves that no fill can serve and no lot is good for. */
  readonly reserveParts: number;
}

/** @param now nothing new begins before this minute */
export function outOfReach(problem: Problem, demand: Demand, now = 0): OutOfReach {
  const { rounds, baths, bagParts, lots } = problem;
  const lost = sinksOf(problem, demand).filter((sink) => !withinReach(problem, sink, now));
  const { unmet } = cover(problem, demand, []);
  const marked = new Uint8Array(baths.length * rounds.length);
  let unmetParts = 0;
  let reserveParts = 0;
  for (const sink of lost) {
    const { bath, round, bags } = sink;
    if (round !== null) {
      marked[bath * rounds.length + round] = 1;
      unmetParts += unmet[bath]![round]!;
      continue;
    }
    const good = lots.filter((lot) => lot.bath === bath && lotServes(lot, sink));
    reserveParts += Math.max(
      0,
      bags * bagParts - good.reduce((sum, lot) => sum + lot.bags * lot.bagParts, 0),
    );
  }
  return { rounds: marked, unmetParts, reserveParts };
}

/** Whether somebody could take off a fill, begun at the earliest `now`, at a minute at which it serves the sink. */
function withinReach({ machines, staff }: Problem, { bath, lastEnd, endAfter }: Sink, now: number): boolean {
  const able = machines.filter(({ baths }) => baths.includes(bath));
  const soonest = now + Math.min(...able.map(({ shortest }) => shortest));
  for (let end = Math.max(endAfter + 1, soonest); end <= lastEnd; end++) if (staff[end]! > 0) return true;
  return false;
}
