import { exchanged, replaced } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** A segment takes the bath of a neighbour; other segments make up for what is lost and what is gained. */
export const barter: Move = (turn) => {
  const { lines, line, m, i, segment, placed } = turn;
  const near = line[turn.heads() ? i - 1 : i + 1];
  const bath = near && turn.heads(0.8) ? near.bath : turn.chance.below(turn.problem.baths.length);
  if (bath === segment.bath || !turn.can[m]![bath] || placed === 0) return null;
  const lost = turn.give(lines, segment.bath, placed);
  const both = lost && turn.give(lost, bath, -placed);
  if (!both) return null;
  return replaced(both, m, exchanged(both[m]!, i, { ...both[m]![i]!, bath }));
};
