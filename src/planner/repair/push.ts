import { type Cover, cover, scoreOf } from '../../plan/cover.ts';
import { type Activity, compareScores, type Score } from '../../plan/plan.ts';
import type { Clerk } from '../schedule/clerk.ts';
import { neededTests } from '../schedule/neededTests.ts';
import { lotsOfPieces, type Piece, piecesWith, type ReleaseOf, releasesIn } from '../schedule/pieces.ts';
import { outOfReach } from '../search/outOfReach.ts';
import { repaired } from './repair.ts';
import { type At, atAfter, enterNext, replay, type Setting } from './replay.ts';
import { firstUnmet, type Wanted } from './wanted.ts';

/** Needs that are looked at, one after the other, and of those how many may be in vain. */
const MOST_NEEDS = 8;
const MOST_VAIN = 2;
/** Fills that are put in at one place at most. */
const MOST_FILLS = 2;
/** Ways to make room after which room for what they took is looked for too. */
const LOOKED_INTO = 3;
/** A way that moves more than this is for the search. */
const MOST_LATER = 40;
/** Pieces written down at most while ways are tried: about eight needs of a week, part of one of a crisis. */
const MOST_WRITTEN = 30_000;

/** What is to be done, not yet when; `own` as it stood before. */
interface Step {
  readonly kind: Piece['kind'];
  readonly bath: number;
  readonly own?: Piece;
}

/**
 * A plan that leaves less unmet, for which one machine at a time makes room: it makes a fill or two more before it goes
 * on with another circuit or bath, or begins a circuit with another bath, and what it does afterwards begins as much
 * later as it must, until it rests. What the other machines do stays to the minute. The plan itself where that serves
 * nobody.
 * @param kept valid; history is part of it
 */
export function pushedIn(setting: Setting, kept: readonly Activity[]): readonly Activity[] {
  const { problem, demand, history, now } = setting;
  const from = (activities: readonly Activity[]): Made => {
    const pieces = piecesWith(problem, activities, history);
    const covered = cover(problem, demand, lotsOfPieces(problem, pieces, releasesIn(problem, activities)));
    return { activities, pieces, covered, score: scoreOf(problem, activities, covered) };
  };
  const { rounds: lost } = outOfReach(problem, demand, now);
  /** What is unmet, above what another plan leaves unmet, where a fill could serve it. */
  const missing = ({ unmet }: Cover, above?: Cover) =>
    unmet.map((byRound, bath) =>
      byRound.map((parts, round) =>
        lost[bath * byRound.length + round] ? 0 : Math.max(0, parts - (above?.unmet[bath]?.[round] ?? 0)),
      ),
    );
  const work = { written: 0 };
  const room = (at: Made, wanted: Wanted | null) => (wanted ? roomFor(setting, at, wanted, work) : []);
  let best = from(kept);
  let vain = 0;
  for (let needs = 0; needs < MOST_NEEDS && vain < MOST_VAIN; needs++) {
    const found = room(best, firstUnmet(problem, missing(best.covered), vain));
    let next = found[0];
    // What makes room for one need may take it from another, for which there is room elsewhere.
    for (const one of found.slice(0, LOOKED_INTO)) {
      const [then] = room(one, firstUnmet(problem, missing(one.covered, best.covered), 0));
      if (then && compareScores(then.score, next!.score) < 0) next = then;
    }
    if (next && next.score.unmetLitres < best.score.unmetLitres) best = next;
    else vain += 1;
  }
  if (best.activities === kept) return kept;
  const tidy = from(repaired(setting, best.activities));
  return compareScores(tidy.score, best.score) <= 0 ? tidy.activities : best.activities;
}

interface Made {
  readonly activities: readonly Activity[];
  readonly pieces: readonly Piece[];
  readonly covered: Cover;
  readonly score: Score;
}

/** Plans with room for one more set or two of what is wanted, the best first; of equals, what moves least. */
function roomFor(
  setting: Setting,
  { activities, pieces, covered }: Made,
  wanted: Wanted,
  work: { written: number },
): Made[] {
  const { problem, demand, history, now } = setting;
  const found: { made: Made; later: number }[] = [];
  const unmet = (one: Cover) => one.unmet[wanted.bath]![wanted.round]!;
  problem.machines.forEach(({ baths }, machine) => {
    if (!baths.includes(wanted.bath) || work.written > MOST_WRITTEN) return;
    const open = (piece: Piece) => piece.machine === machine && !piece.fixed;
    const others = pieces.filter((piece) => !open(piece));
    const fixed = others.filter((piece) => piece.machine === machine);
    work.written += others.length;
    const { clerk } = replay(setting, others, activities);
    const mark = clerk.mark();
    const begin = atAfter(problem, machine, fixed, now);
    const loaded = problem.machines[machine]!.loaded?.bath;
    for (const steps of waysFor(loaded, fixed, pieces.filter(open), wanted)) {
      clerk.backTo(mark);
      const own = entered(clerk, machine, begin, steps);
      work.written += steps.length;
      if (!own) continue;
      const all = [...others, ...own.pieces].sort((a, b) => a.start - b.start);
      const released: ReleaseOf = (one, filled) => clerk.releaseOf(one, filled);
      const after = cover(problem, demand, lotsOfPieces(problem, all, released));
      if (unmet(after) >= unmet(covered)) continue;
      const needed = neededTests(problem, clerk.activities, history);
      const score = scoreOf(problem, needed, after);
      found.push({ made: { activities: needed, pieces: all, covered: after, score }, later: own.later });
    }
  });
  return found
    .sort((a, b) => compareScores(a.made.score, b.made.score) || a.later - b.later)
    .map(({ made }) => made);
}

/** What the machine could do instead, from its first open piece on, after those that are fixed. */
function waysFor(
  loaded: number | undefined,
  fixed: readonly Piece[],
  lane: readonly Piece[],
  { bath, at }: Wanted,
): Step[][] {
  const steps = lane.map((own): Step => ({ kind: own.kind, bath: own.bath, own }));
  const ways: Step[][] = [];
  const fills = (n: number): Step[] => Array.from({ length: n }, () => ({ kind: 'fill', bath }));
  for (let i = 0; i <= lane.length; i++) {
    const next = lane[i];
    if (next?.kind === 'fill') continue;
    const last = lane[i - 1] ?? fixed.at(-1);
    if (last && last.start >= at) break;
    const runs = last?.bath ?? loaded;
    const put = (...some: Step[]) => ways.push([...steps.slice(0, i), ...some, ...steps.slice(i)]);
    for (let n = 1; n <= MOST_FILLS; n++) {
      if (runs === bath) put(...fills(n));
      else if (runs !== undefined) put({ kind: 'bath', bath }, ...fills(n));
      put({ kind: 'circuit', bath }, ...fills(n));
      if (next?.kind === 'circuit' && next.bath !== bath)
        ways.push([
          ...steps.slice(0, i),
          { kind: 'circuit', bath },
          ...fills(n),
          { kind: 'bath', bath: next.bath },
          ...steps.slice(i + 1),
        ]);
    }
  }
  return ways;
}

/**
 * Enters steps one after the other, each at its own minutes or as soon after as may be.
 * @returns null where a set-up finds no room or too much moves; `later`: pieces that are new or not where they stood
 */
function entered(
  clerk: Clerk,
  machine: number,
  begin: At,
  steps: readonly Step[],
): { pieces: Piece[]; later: number } | null {
  const pieces: Piece[] = [];
  let later = 0;
  let at = begin;
  for (const step of steps) {
    const span = { from: step.own?.start ?? 0, until: clerk.problem.horizon };
    const next = enterNext(clerk, { ...step, machine }, at, span);
    // A fill for which the circuit is too old by then is not made.
    if (!next && step.kind === 'fill') continue;
    if (!next) return null;
    if (!next.asBefore) later += 1;
    if (later > MOST_LATER) return null;
    pieces.push(next.piece);
    at = next.at;
  }
  return { pieces, later };
}
