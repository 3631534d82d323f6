import { movedBetween, movedCount } from '../../plan/moved.ts';
import { type Activity, compareScores } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { neededTests } from '../schedule/neededTests.ts';
import { doneAt, type Piece, piecesWith, worthOf } from '../schedule/pieces.ts';
import { grafted } from './graft.ts';
import { relabelled } from './relabel.ts';
import { replay, type Setting } from './replay.ts';

/** Activities written down anew at most while ways of going back are tried: eight trials of a week, none of a crisis. */
const MOST_WRITTEN = 4000;

/**
 * A plan as good as `made` in which as little as can be found has moved against the plan before: machines of a kind
 * exchange their work, what both plans do stays at its minutes (see `grafted`), and stretches of a machine's work go back
 * to what `kept` has there, each only where that costs nothing.
 * Never worse than `made` in score and, at the same score, never more moved.
 * @param previous the plan before
 * @param kept what can be kept of it (see `repaired`); history is part of it and of `made`
 */
export function steadied(
  setting: Setting,
  previous: readonly Activity[],
  kept: readonly Activity[],
  made: readonly Activity[],
): Activity[] {
  const { problem, demand, history, now } = setting;
  const score = worthOf(problem, demand, made);
  const duties = (activities: readonly Activity[]) => activities.filter(({ kind }) => kind === 'duty').length;
  // On a day under way a duty may be left out: no more of them for the sake of steadiness.
  const asGood = (activities: readonly Activity[]) =>
    compareScores(worthOf(problem, demand, activities), score) <= 0 && duties(activities) >= duties(made);
  const moved = (activities: readonly Activity[]) => movedCount(movedBetween(previous, activities));
  const than = compareScores(worthOf(problem, demand, kept), score);
  if (duties(kept) >= duties(made) && (than < 0 || (than === 0 && moved(kept) <= moved(made))))
    return [...kept];
  let best = relabelled(problem, previous, made, now);
  const graft = grafted(setting, kept, best);
  if (graft && asGood(graft) && moved(graft) < moved(best)) best = graft;
  const old = piecesWith(problem, kept, history);
  let pieces = piecesWith(problem, best, history);
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
      const { whole, clerk } = replay(setting, mixed, tests);
      if (!whole) continue;
      const activities = neededTests(problem, clerk.activities, history);
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
      const cuts = alikeAt(problem, lanes[0]!, lanes[1]!);
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
function alikeAt(problem: Problem, a: readonly Piece[], b: readonly Piece[]): number[] {
  const done = (piece: Piece) => doneAt(problem, piece);
  const state = (pieces: readonly Piece[], t: number) => {
    const next = pieces.findIndex(({ start }) => start >= t);
    const past = next < 0 ? pieces : pieces.slice(0, next);
    const last = past.at(-1);
    const circuit = past.findLast(({ kind }) => kind === 'circuit');
    return {
      rests: !last || done(last) <= t,
      renews: next < 0 || pieces[next]!.kind === 'circuit',
      holds: `${last?.bath} ${circuit?.start}`,
    };
  };
  const times = new Set([Number.NEGATIVE_INFINITY, ...a.map(done), ...b.map(done)]);
  return [...times]
    .filter((t) => {
      const [x, y] = [state(a, t), state(b, t)];
      return x.rests && y.rests && ((x.renews && y.renews) || x.holds === y.holds);
    })
    .sort((x, y) => x - y);
}
