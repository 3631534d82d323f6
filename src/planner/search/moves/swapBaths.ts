import { FULL, type Line } from '../../schedule/segment.ts';
import { exchanged, replaced } from '../lineEdits.ts';
import type { Move, Turn } from './turn.ts';

/** How often two segments exchange baths because that saves bath changes, not because they begin at one time. */
const FITTING = 0.8;

/** Two segments, near in time, change their baths; each keeps its place, and its length or the shorter one's. */
export const swapBaths: Move = (turn) => {
  const { lines, standing, m, i } = turn;
  const a = turn.segment;
  const near = turn.heads(FITTING)
    ? turn.partners.fitting(lines, standing, turn.spot)
    : turn.partners.nearest(lines, standing, turn.spot);
  if (!near) return null;
  const b = lines[near.m]![near.i]!;
  const fillsOfA = standing.placed[m]![i]!;
  const fillsOfB = standing.placed[near.m]![near.i]!;
  const shorter = Math.min(fillsOfA, fillsOfB);
  if (shorter === 0) return null;
  const whole = turn.heads(0.6) || near.m === m;
  const turned = (line: Line, at: number, fills: number, bath: number): Line =>
    whole || fills === shorter
      ? exchanged(line, at, { ...line[at]!, bath })
      : partTurned(turn, line, at, { fills, of: shorter, bath });
  const once = turn.with(turned(turn.line, i, fillsOfA, b.bath));
  return replaced(once, near.m, turned(once[near.m]!, near.i, fillsOfB, a.bath));
};

/** The first or the last of a segment's fills are of another bath. */
function partTurned(
  turn: Turn,
  line: Line,
  at: number,
  { fills, of: n, bath }: { readonly fills: number; readonly of: number; readonly bath: number },
): Line {
  const segment = line[at]!;
  const open = segment.fills >= FULL;
  const second = { fresh: false, notBefore: 0, hold: 0 };
  return turn.heads()
    ? exchanged(
        line,
        at,
        { ...segment, bath, fills: n, toEnd: false },
        { ...segment, ...second, fills: open ? FULL : segment.fills - n },
      )
    : exchanged(
        line,
        at,
        { ...segment, fills: fills - n, toEnd: false },
        { ...segment, ...second, bath, fills: open ? FULL : n },
      );
}
