import { exchanged, without } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** A segment changes places with the one after it. */
export const flip: Move = (turn) => {
  const { line, i, segment } = turn;
  const j = i + 1;
  return j < line.length ? turn.with(exchanged(without(line, j), i, line[j]!, segment)) : null;
};
