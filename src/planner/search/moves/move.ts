import { inserted, replaced, without } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** A segment goes somewhere else, perhaps to another machine. */
export const move: Move = (turn) => {
  const { lines, line, m, i, segment, chance } = turn;
  const to = chance.below(lines.length);
  if (!turn.can[to]![segment.bath]) return null;
  const taken = turn.with(without(line, i));
  const other = taken[to]!;
  return replaced(taken, to, inserted(other, chance.below(other.length + 1), turn.on(to, segment, m)));
};
