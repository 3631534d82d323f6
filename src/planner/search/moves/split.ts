import { exchanged, inserted, replaced } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** The second part of a segment goes elsewhere, perhaps to another machine. */
export const split: Move = (turn) => {
  const { lines, line, i, segment, perCircuit, chance } = turn;
  if (segment.fills < 2 || perCircuit < 2) return null;
  const fills = Math.min(segment.fills, perCircuit);
  const head = 1 + chance.below(fills - 1);
  const tail = { ...segment, fills: fills - head, notBefore: 0, fresh: false, hold: 0 };
  const to = chance.below(lines.length);
  if (!turn.can[to]![segment.bath]) return null;
  const shorter = turn.with(exchanged(line, i, { ...segment, fills: head, toEnd: false }));
  const other = shorter[to]!;
  return replaced(shorter, to, inserted(other, chance.below(other.length + 1), tail));
};
