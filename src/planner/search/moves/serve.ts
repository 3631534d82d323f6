import { MINUTES_A_DAY, type Problem } from '../../../scenario/problem/types.ts';
import { FULL } from '../../schedule/segment.ts';
import { exchanged, firstFrom, inserted, replaced } from '../lineEdits.ts';
import type { Move, Turn } from './turn.ts';

/** How often fills for a round, where bags last for no other, are put where they still do for it. */
const IN_TIME = 0.5;

/** A need, or a stock, that wants bags, and a machine that may make them. */
interface Aim {
  readonly bath: number;
  readonly m: number;
  /** When they are due and when they may begin. */
  readonly due: number;
  readonly opens: number;
}

/** Whether bags of a fill last for one round only. */
function lastsForOne({ rules, rounds }: Problem): boolean {
  const last = rules.swapMinutes + rules.releaseMinutes;
  return rounds.slice(1).every(({ to }, n) => to - rules.shelf > rounds[n]!.at - last);
}

/** First minute at which a machine can begin bags that do not expire before a minute; 0: any. */
const opensFor = ({ machines, rules }: Problem, m: number, until: number): number =>
  Math.max(0, until - rules.shelf - machines[m]!.shortest - rules.circuitMinutes);

function aimed({ problem, standing, chance, can }: Turn): Aim | null {
  const { rounds, baths, horizon } = problem;
  const wanting: number[] = [];
  for (let k = 0; k < standing.unmet.length; k++) if (standing.unmet[k]! > 0) wanting.push(k);
  const stocked = wanting.length === 0 && standing.lowStock.length > 0;
  const from = stocked ? standing.lowStock : wanting;
  const k = from.length > 0 ? from[chance.below(from.length)]! : -1;
  const bath = k >= 0 ? Math.floor(k / rounds.length) : chance.below(baths.length);
  const round = rounds[k % rounds.length];
  const m = chance.below(standing.starts.length);
  // Stock after a round must be good for the next one.
  const goodTo = stocked ? (rounds[(k % rounds.length) + 1]?.to ?? horizon) : round?.to;
  const opens = opensFor(problem, m, goodTo ?? horizon + MINUTES_A_DAY);
  return can[m]![bath] ? { bath, due: round?.at ?? horizon, opens, m } : null;
}

/** Where in a line fills for an aim may stand, and the minute that they have to wait for there. */
function placeFor(turn: Turn, { m, due, opens }: Aim, oneRound: boolean): { at: number; notBefore: number } {
  const { machines, rules } = turn.problem;
  const line = turn.lines[m]!;
  const starts = turn.standing.starts[m]!;
  const before = firstFrom(line, starts, due);
  const after = oneRound && turn.heads(IN_TIME) ? Math.min(before, firstFrom(line, starts, opens)) : 0;
  const at = after + turn.chance.below(before - after + 1);
  const cycle = machines[m]!.shortest + rules.swapMinutes;
  const idleFrom = at > 0 ? starts[at - 1]! + turn.standing.placed[m]![at - 1]! * cycle : 0;
  const idle = idleFrom + cycle < opens && (at === line.length || starts[at]! > opens);
  return { at, notBefore: idle ? opens : 0 };
}

/** The move for a problem: more fills of a bath that wants some, in time for the round that wants them. */
export function serveFor(problem: Problem): Move {
  const oneRound = lastsForOne(problem);
  return (turn) => {
    const aim = aimed(turn);
    if (!aim) return null;
    const { m, bath } = aim;
    const { lines } = turn;
    const line = lines[m]!;
    const { at, notBefore } = placeFor(turn, aim, oneRound);
    const add = turn.some(turn.heads() ? 2 : 8);
    const here = line[at];
    if (here && here.bath === bath)
      return replaced(lines, m, exchanged(line, at, { ...here, fills: Math.min(FULL, here.fills + add) }));
    const fresh = { bath, fills: add, toEnd: false, fresh: false, notBefore };
    if (!here || !turn.heads(0.6)) return replaced(lines, m, inserted(line, at, fresh));
    // Instead of as many fills of what stands there, or else on top of them.
    const less = { ...here, fills: here.fills >= FULL ? FULL : Math.max(0, here.fills - add) };
    const both = turn.heads() ? [fresh, less] : [less, fresh];
    return replaced(lines, m, exchanged(line, at, ...both));
  };
}
