import { exchanged } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** A segment makes a few fills more or less. */
export const resize: Move = (turn) => {
  const { line, i, segment, placed } = turn;
  // What was placed, not what was asked for: one more or less of fills that found no room changes nothing.
  const present = placed > 0 ? Math.min(placed, segment.fills) : segment.fills;
  const fills = Math.max(0, present + (turn.heads() ? -1 : 1) * turn.some(3));
  return turn.with(exchanged(line, i, { ...segment, fills }));
};
