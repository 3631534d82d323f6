import type { Demand } from '../demand/demand.ts';
import { cover, scoreOf } from '../plan/cover.ts';
import { type Activity, compareScores, type Score } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem.ts';
import { grafted } from './graft.ts';
import { movedBetween, movedCount } from './moved.ts';
import { relabelled } from './relabel.ts';
import { lotsOfPieces, neededTests, type Piece, piecesOf, replay } from './replay.ts';

/** Activities written down anew at most while ways of going back are tried: eight trials of a week, none of a crisis. */
const MOST_WRITTEN = 4000;

const worth = (problem: Problem, demand: Demand, activities: readonly Activity[]): Score =>
  scoreOf(
    problem,
    activities,
    cover(problem, demand, lotsOfPieces(problem, piecesOf(problem, activities, NONE))),
  );
const NONE: ReadonlySet<Activity> = new Set();

/**
 * A plan as good as `made` in which as little as can be found has moved against the plan before: machines of a kind
 * exchange their work, what both plans do stays at its minutes (see `grafted`), and stretches of a machine's work go back
 * to what `kept` has there, each only where that costs nothing.
 * Never worse than `made` in score and, at the same score, never more moved.
 * @param previous the plan before
 * @param kept what can be kept of it (see `repaired`)
 * @param history what is fixed, part of `kept` and `made`; nothing else begins before minute `now`
 */
export function steadied(
  problem: Problem,
  demand: Demand,
  previous: readonly Activity[],
  kept: readonly Activity[],
  made: readonly Activity[],
  history: readonly Activity[],
  now: number,
): Activity[] {
  const score = worth(problem, demand, made);
  const asGood = (activities: readonly Activity[]) =>
    compareScores(worth(problem, demand, activities), score) <= 0;
  const moved = (activities: readonly Activity[]) => movedCount(movedBetween(previous, activities));
  const than = compareScores(worth(problem, demand, kept), score);
  if (than < 0 || (than === 0 && moved(kept) <= moved(made))) return [...kept];
  let best = relabelled(problem, previous, made, now);
  const graft = grafted(problem, kept, best, history, now);
  if (graft && asGood(graft) && moved(graft) < moved(best)) best = graft;
  const fixed = new Set(history);
  const pasts = new Set(history.map((activity) => JSON.stringify(activity)));
  const isPast = (list: readonly Activity[]) =>
    new Set(list.filter((activity) => fixed.has(activity) || pasts.has(JSON.stringify(activity))));
  const old = piecesOf(problem, kept, isPast(kept));
  let pieces = piecesOf(problem, best, isPast(best));
  let written = 0;
  const goBack = (stretches: readonly Stretch[]): void => {
    written += best.length;
    if (stretches.length === 0 || written > MOST_WRITTEN) return;
    const within = ({ machine, start }: Piece) =>
      stretches.some((one) => one.machine === machine && start >= one.from && start < one.to);
    const mixed = [...pieces.filter((piece) => !within(piece)), ...old.filter(within)].sort(
      (a, b) => a.start - b.start,
    );
    for (const tests of [kept, best]) {
      const { whole, ledger } = replay(problem, mixed, tests, history, now);
      if (!whole) continue;
      const activities = neededTests(problem, ledger.activities, history);
      if (!asGood(activities) || moved(activities) >= moved(best)) continue;
      best = activities;
      pieces = mixed;
      return;
    }
    if (stretches.length === 1) return;
    const half = stretches.length >> 1;
    goBack(stretches.slice(0, half));
    goBack(stretches.slice(half));
  };
  goBack(stretchesOf(problem, old, pieces));
  return best;
}

/** A machine's work between two minutes at which both plans stand alike. */
interface Stretch {
  readonly machine: number;
  readonly from: number;
  readonly to: number;
}

/** Stretches in which two plans make the same fills at other minutes; by time. */
function stretchesOf(problem: Problem, old: readonly Piece[], made: readonly Piece[]): Stretch[] {
  const { swapMinutes } = problem.rules;
  const fills = (pieces: readonly Piece[]) =>
    pieces
      .filter(({ kind }) => kind === 'fill')
      .map(({ bath }) => bath)
      .sort((a, b) => a - b)
      .join();
  const minutes = (pieces: readonly Piece[]) =>
    pieces.map(({ kind, start, end }) => `${kind} ${start} ${end}`).join();
  return problem.machines
    .flatMap((_, machine) => {
      const lanes = [old, made].map((pieces) => pieces.filter((piece) => piece.machine === machine));
      const cuts = alikeAt(lanes[0]!, lanes[1]!, swapMinutes);
      return cuts.flatMap((from, index) => {
        const to = cuts[index + 1] ?? Number.POSITIVE_INFINITY;
        const [before, after] = lanes.map((lane) =>
          lane.filter(({ start }) => start >= from && start < to),
        ) as [Piece[], Piece[]];
        return fills(before) === fills(after) && minutes(before) !== minutes(after)
          ? { machine, from, to }
          : [];
      });
    })
    .sort((a, b) => a.from - b.from);
}

/** Minutes at which a machine rests in both plans and could go on from one as from the other. */
function alikeAt(a: readonly Piece[], b: readonly Piece[], swapMinutes: number): number[] {
  const doneAt = ({ kind, end }: Piece) => end + (kind === 'fill' ? swapMinutes : 0);
  const state = (pieces: readonly Piece[], t: number) => {
    const next = pieces.findIndex(({ start }) => start >= t);
    const done = next < 0 ? pieces : pieces.slice(0, next);
    const last = done.at(-1);
    const circuit = done.findLast(({ kind }) => kind === 'circuit');
    return {
      rests: !last || doneAt(last) <= t,
      renews: next < 0 || pieces[next]!.kind === 'circuit',
      holds: `${last?.bath} ${circuit?.start}`,
    };
  };
  const times = new Set([Number.NEGATIVE_INFINITY, ...a.map(doneAt), ...b.map(doneAt)]);
  return [...times]
    .filter((t) => {
      const [x, y] = [state(a, t), state(b, t)];
      return x.rests && y.rests && ((x.renews && y.renews) || x.holds === y.holds);
    })
    .sort((x, y) => x - y);
}
