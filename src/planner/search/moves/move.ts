import { firstFrom, inserted, replaced, without } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** How often bags that last short are made near in time to where they were. */
const NEAR = 0.7;

/** A segment goes somewhere else, perhaps to another machine. */
export const move: Move = (turn) => {
  const { lines, line, m, i, segment, chance } = turn;
  const to = chance.below(lines.length);
  if (!turn.can[to]![segment.bath]) return null;
  const taken = turn.with(without(line, i));
  const other = taken[to]!;
  const { starts } = turn.standing;
  const at =
    turn.shortLived && to !== m && turn.heads(NEAR)
      ? Math.min(other.length, firstFrom(other, starts[to]!, starts[m]![i]!) + chance.below(2))
      : chance.below(other.length + 1);
  return replaced(taken, to, inserted(other, at, turn.on(to, segment, m)));
};
