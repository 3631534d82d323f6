import type { Activity } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Clerk } from '../schedule/clerk.ts';
import { neededTests } from '../schedule/neededTests.ts';
import { type Piece, piecesWith } from '../schedule/pieces.ts';
import { atAfter, enterNext, replay, type Setting } from './replay.ts';

/** What a machine does on one circuit, in order of time; the first run of a machine is what it does before any new circuit. */
interface Run {
  readonly machine: number;
  readonly pieces: readonly Piece[];
}

/** Runs of one machine whose work is the same and that begin within so many minutes stand for each other. */
const NEAR = 720;
/** Times that what stands in the way of what finds no room is given up too. */
const ROUNDS = 8;

function runsOf(problem: Problem, pieces: readonly Piece[]): Run[] {
  return problem.machines.flatMap((_, machine) => {
    const runs: Piece[][] = [[]];
    for (const piece of pieces) {
      if (piece.machine !== machine) continue;
      if (piece.kind === 'circuit') runs.push([piece]);
      else runs.at(-1)!.push(piece);
    }
    return runs.filter(({ length }) => length > 0).map((mine) => ({ machine, pieces: mine }));
  });
}

const workOf = ({ machine, pieces }: Run): string =>
  `${machine} ${pieces.map(({ kind, bath }) => `${kind}${bath}`).join()}`;
const startOf = ({ pieces }: Run): number => pieces[0]!.start;
const endOf = ({ pieces }: Run): number => pieces.at(-1)!.end;

/** Which run of `kept` each run of `made` stands for, the nearest first. */
function matched(kept: readonly Run[], made: readonly Run[]): Map<Run, Run> {
  const byWork = new Map<string, Run[]>();
  for (const run of kept) byWork.set(workOf(run), [...(byWork.get(workOf(run)) ?? []), run]);
  const pairs = made
    .flatMap((run) =>
      (byWork.get(workOf(run)) ?? []).map((other) => ({
        run,
        other,
        by: Math.abs(startOf(run) - startOf(other)),
      })),
    )
    .filter(({ by }) => by <= NEAR)
    .sort((a, b) => a.by - b.by);
  const found = new Map<Run, Run>();
  const taken = new Set<Run>();
  for (const { run, other } of pairs) {
    if (found.has(run) || taken.has(other)) continue;
    found.set(run, other);
    taken.add(other);
  }
  return found;
}

/**
 * The work of `made` at the minutes of `kept`: runs that both have stay where `kept` has them, and those that only
 * `made` has are put in between, as near to their minutes as there is room. Where there is none, the neighbours on the
 * machine are taken from `made` too, then what other machines do at that time makes way. Valid like both; its score is
 * not looked at.
 * @returns null when no such plan is found
 */
export function grafted(
  setting: Setting,
  kept: readonly Activity[],
  made: readonly Activity[],
): Activity[] | null {
  const { problem, history } = setting;
  const runs = (activities: readonly Activity[]) => runsOf(problem, piecesWith(problem, activities, history));
  const news = runs(made);
  const stays = matched(runs(kept), news);
  // What makes way for others, as `kept` has it; what it makes way for goes first.
  const yields = new Map<Run, Run>();
  const first = new Set<Run>();
  for (let round = 0; round < ROUNDS; round++) {
    const base = news.flatMap((run) => stays.get(run)?.pieces ?? run.pieces.filter(({ fixed }) => fixed));
    base.sort((a, b) => a.start - b.start);
    const { clerk, pieces, whole } = replay(setting, base, kept);
    if (!whole) return null;
    const placed = [...pieces];
    const open = news
      .filter((run) => !stays.has(run))
      .sort((a, b) => Number(first.has(b)) - Number(first.has(a)) || startOf(a) - startOf(b));
    const blocked = open.filter((run) => !putIn(setting, clerk, placed, yields.get(run) ?? run));
    if (blocked.length === 0) return neededTests(problem, clerk.activities, history);
    if (!giveUpBeside(news, blocked, stays) && !giveUpThen(blocked, { first, stays, yields })) return null;
  }
  return null;
}

/** Gives up the runs that stand before and after blocked ones on their machines; false: there are none. */
function giveUpBeside(news: readonly Run[], blocked: readonly Run[], stays: Map<Run, Run>): boolean {
  const before = stays.size;
  for (const run of blocked) {
    const lane = news.filter(({ machine }) => machine === run.machine);
    const at = lane.indexOf(run);
    for (const neighbour of [lane[at - 1], lane[at + 1]]) if (neighbour) stays.delete(neighbour);
  }
  return stays.size < before;
}

/** Nothing beside it on its machine: then other machines' runs of its hours hold the hands or the water it needs. */
function giveUpThen(
  blocked: readonly Run[],
  { first, stays, yields }: { first: Set<Run>; stays: Map<Run, Run>; yields: Map<Run, Run> },
): boolean {
  const before = stays.size;
  for (const run of blocked) {
    first.add(run);
    for (const [other, own] of [...stays])
      if (startOf(own) < endOf(run) && endOf(own) > startOf(run)) {
        stays.delete(other);
        yields.set(other, own);
      }
  }
  return stays.size < before;
}

/** Enters a run between what is placed on its machine; false, with a part of it perhaps entered, when there is no room. */
function putIn({ problem, now }: Setting, clerk: Clerk, placed: Piece[], { machine, pieces }: Run): boolean {
  const open = pieces.filter(({ fixed }) => !fixed);
  if (open.length === 0) return true;
  const lane = placed.filter((piece) => piece.machine === machine);
  const from = open[0]!.start;
  const before = lane.filter(({ start }) => start < from);
  const after = lane.filter(({ start }) => start >= from);
  const until = Math.min(problem.horizon, ...after.map(({ start }) => start));
  let at = atAfter(problem, machine, before, now);
  for (const own of open) {
    const next = enterNext(clerk, { ...own, own }, at, { from, until });
    if (!next) return false;
    placed.push(next.piece);
    at = next.at;
  }
  return true;
}
