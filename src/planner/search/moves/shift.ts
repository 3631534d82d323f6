import { FULL } from '../../schedule/segment.ts';
import { exchanged, replaced } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** Some fills of a bath are made by another segment of it instead. */
export const shift: Move = (turn) => {
  const { lines, m, i, placed } = turn;
  const { bath, fills } = turn.segment;
  if (placed === 0) return null;
  const moved = turn.heads(0.4) ? placed : Math.min(placed, turn.some(4));
  const given = turn.give(lines, bath, moved);
  if (!given) return null;
  const line = given[m]!;
  const left = fills >= FULL ? placed - moved : Math.max(0, fills - moved);
  return replaced(given, m, exchanged(line, i, { ...line[i]!, fills: left, toEnd: false }));
};
