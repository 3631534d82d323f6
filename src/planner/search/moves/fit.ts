import { FULL } from '../../schedule/segment.ts';
import { exchanged } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** A segment lasts as long as its circuit, or no longer does. */
export const fit: Move = (turn) => {
  const { line, i, segment } = turn;
  const next = segment.toEnd
    ? { ...segment, toEnd: false, fills: turn.some(turn.perCircuit) }
    : { ...segment, toEnd: true, fills: FULL };
  return turn.with(exchanged(line, i, next));
};
