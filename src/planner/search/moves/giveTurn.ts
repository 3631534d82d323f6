import { MINUTES_A_DAY, type Problem } from '../../../scenario/problem/types.ts';
import { FULL, type Segment } from '../../schedule/segment.ts';
import { exchanged } from '../lineEdits.ts';
import type { Move, Turn } from './turn.ts';

/** Up to so many machines and minutes each machine may be worth waiting for, however much water there is. */
const FEW = 3;
const SHORT = 2 * MINUTES_A_DAY;
/** How often a machine with a window still to open is set up in the one before. */
const AHEAD = 0.15;
/** Lengths of the other machine's work that a wait is made of, at most. */
const PIECES = 3;

/** Whether machines have to take turns: a source that cannot feed all of its machines, or few machines in so short a plan that each wait counts. */
export const takesTurns = (problem: Problem): boolean =>
  problem.machines.length > 1 && (eachWaitCounts(problem) || hasScarceWater(problem));

/** Few machines for two days at most. */
export const eachWaitCounts = ({ machines, horizon }: Problem): boolean =>
  machines.length <= FEW && horizon <= SHORT;

const hasScarceWater = ({ machines, water }: Problem): boolean =>
  water.some(({ capacities }, w) => {
    const all = machines.reduce((sum, { water: own, flow }) => (own === w ? sum + flow : sum), 0);
    return capacities.some(({ capacity }) => all > capacity);
  });

/** As long as some of another machine's work takes, min. */
function lengthOfWork({ problem, chance, m }: Turn): number {
  const { machines, rules } = problem;
  const other = machines[(m + 1 + chance.below(machines.length - 1)) % machines.length]!;
  const lengths = [
    other.shortest,
    other.shortest,
    rules.circuitMinutes,
    rules.swapMinutes,
    rules.bathMinutes,
    ...(eachWaitCounts(problem) ? problem.water.map(({ testMinutes }) => testMinutes) : []),
  ];
  let sum = 0;
  for (let n = 1 + chance.below(1 + chance.below(PIECES)); n > 0; n--)
    sum += lengths[chance.below(lengths.length)]!;
  return sum;
}

/** The segment set up as soon as the one before it is done, its first fill waiting until a later window opens, or a while longer. */
function setUpAhead(turn: Turn): Segment | null {
  const { problem, standing, chance, line, m, i, segment } = turn;
  const { windows, shortest } = problem.machines[m]!;
  const { circuitMinutes, swapMinutes } = problem.rules;
  const before =
    i > 0 ? standing.starts[m]![i - 1]! + standing.placed[m]![i - 1]! * (shortest + swapMinutes) : 0;
  const done = before + circuitMinutes;
  const later = windows.filter(({ from }) => from > done);
  if (later.length === 0) return null;
  const opens = later[chance.below(later.length)]!.from - done;
  const hold = opens + (turn.heads() ? lengthOfWork(turn) : 0);
  return {
    ...segment,
    fresh: segment.fresh || i === 0 || line[i - 1]!.bath === segment.bath,
    notBefore: 0,
    hold,
  };
}

/**
 * Somebody else first: a segment, or what is left of it after some fills, waits about as long as some of another
 * machine's work takes; or only its first fill does, the set-up being done before. Or no longer does.
 */
export const giveTurn: Move = (turn) => {
  const { line, standing, m, i, segment, placed, chance, problem } = turn;
  const ahead = turn.heads(AHEAD) ? setUpAhead(turn) : null;
  if (ahead) return turn.with(exchanged(line, i, ahead));
  if (turn.heads()) {
    const hold = (segment.hold ?? 0) > 0 && turn.heads() ? 0 : lengthOfWork(turn);
    return turn.with(exchanged(line, i, { ...segment, hold }));
  }
  const head = placed > 1 && turn.heads() ? 1 + chance.below(placed - 1) : 0;
  const { shortest } = problem.machines[m]!;
  const from = standing.starts[m]![i]! + head * (shortest + problem.rules.swapMinutes);
  const notBefore = Math.min(problem.horizon - 1, from + lengthOfWork(turn));
  if (head === 0) return turn.with(exchanged(line, i, { ...segment, notBefore }));
  const fills = segment.fills >= FULL ? FULL : segment.fills - head;
  const tail = { ...segment, fills, fresh: false, notBefore, hold: 0 };
  return turn.with(exchanged(line, i, { ...segment, fills: head, toEnd: false }, tail));
};
