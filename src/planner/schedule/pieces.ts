import type { Demand } from '../../demand/demand.ts';
import { cover, scoreOf } from '../../plan/cover.ts';
import type { Activity, Score } from '../../plan/plan.ts';
import type { Lot, Problem } from '../../scenario/problem/types.ts';
import type { Run } from './clerk.ts';

/** One thing that a machine does; a fill stands for its swap too. Machine and bath by number, times in minutes. */
export interface Piece {
  readonly kind: Run['kind'];
  readonly machine: number;
  readonly bath: number;
  readonly start: number;
  readonly end: number;
  /** History: never asked, never moved. */
  readonly fixed: boolean;
}

/** The machines' pieces of a plan, in order of time; what names no machine or bath of the problem is left out. */
export function piecesOf(
  problem: Problem,
  activities: readonly Activity[],
  fixed: ReadonlySet<Activity>,
): Piece[] {
  const machineOf = new Map(problem.machines.map(({ id }, index) => [id, index]));
  const bathOf = new Map(problem.baths.map((id, index) => [id, index]));
  return activities
    .flatMap((activity) => {
      if (activity.kind === 'test' || activity.kind === 'swap' || activity.kind === 'duty') return [];
      const machine = machineOf.get(activity.machine);
      const bath = bathOf.get(activity.bath);
      if (machine === undefined || bath === undefined) return [];
      const { kind, start, end } = activity;
      return { kind, machine, bath, start, end, fixed: fixed.has(activity) };
    })
    .sort((a, b) => a.start - b.start);
}

/** The same, of a plan that has this history in it. */
export function piecesWith(
  problem: Problem,
  activities: readonly Activity[],
  history: readonly Activity[],
): Piece[] {
  const past = new Set(history.map((activity) => JSON.stringify(activity)));
  const fixed = activities.filter((activity) => past.has(JSON.stringify(activity)));
  return piecesOf(problem, activities, new Set(fixed));
}

/** When the machine is free again: a fill's bags have to come off first. */
export const doneAt = ({ rules }: Problem, { kind, end }: Pick<Piece, 'kind' | 'end'>): number =>
  end + (kind === 'fill' ? rules.swapMinutes : 0);

/** What activities are worth, without the rows and names of a whole plan: for where many are compared. */
export function worthOf(problem: Problem, demand: Demand, activities: readonly Activity[]): Score {
  const lots = lotsOfPieces(
    problem,
    piecesOf(problem, activities, new Set()),
    releasesIn(problem, activities),
  );
  return scoreOf(problem, activities, cover(problem, demand, lots));
}

/** When a test lets the bags of a fill go that ended on a machine; minus infinity where none is waited for. */
export type ReleaseOf = (machine: number, filled: number) => number;

/** What the fills among the pieces make, in their order; nameless, since naming lots by local time takes long. */
export function lotsOfPieces(
  { rules, machines, bagParts }: Problem,
  pieces: readonly Piece[],
  releaseOf: ReleaseOf = () => Number.NEGATIVE_INFINITY,
): Lot[] {
  const { swapMinutes, releaseMinutes, shelf } = rules;
  return pieces.flatMap(({ kind, machine, bath, end }) =>
    kind === 'fill'
      ? {
          id: '',
          origin: 'fill' as const,
          bath,
          bags: machines[machine]!.usable,
          bagParts,
          ready: Math.max(end + swapMinutes + releaseMinutes, releaseOf(machine, end)),
          expires: end + shelf,
        }
      : [],
  );
}

/** When the tests among these activities let bags go. */
export function releasesIn({ rules, machines, water }: Problem, activities: readonly Activity[]): ReleaseOf {
  if (!rules.releaseAfterTest) return () => Number.NEGATIVE_INFINITY;
  const tests = activities
    .flatMap((one) => (one.kind === 'test' ? one : []))
    .sort((a, b) => a.start - b.start);
  return (machine, filled) => {
    const { id } = water[machines[machine]!.water]!;
    return tests.find((one) => one.water === id && one.start >= filled)?.end ?? Number.POSITIVE_INFINITY;
  };
}
