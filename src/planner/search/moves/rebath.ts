import { exchanged } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** A segment takes another bath. */
export const rebath: Move = (turn) => {
  const { line, m, i } = turn;
  const bath = turn.chance.below(turn.problem.baths.length);
  const { segment } = turn;
  if (bath === segment.bath || !turn.can[m]![bath]) return null;
  return turn.with(exchanged(line, i, { ...segment, bath }));
};
