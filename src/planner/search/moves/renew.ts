import { FULL } from '../../schedule/segment.ts';
import { exchanged } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** A new circuit somewhere within a segment; or one, or none, before it. */
export const renew: Move = (turn) => {
  const { line, i, segment, perCircuit, chance } = turn;
  if (segment.fills <= 1 || perCircuit <= 1 || !turn.heads(0.7))
    return turn.with(exchanged(line, i, { ...segment, fresh: !segment.fresh }));
  const head = 1 + chance.below(Math.min(segment.fills, perCircuit) - 1);
  const fills = segment.fills >= FULL ? FULL : segment.fills - head;
  const tail = { ...segment, fills, fresh: true, notBefore: 0, hold: 0 };
  return turn.with(exchanged(line, i, { ...segment, fills: head, toEnd: false }, tail));
};
