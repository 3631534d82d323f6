import { replaced } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** Two segments change places, also between machines. */
export const trade: Move = (turn) => {
  const { lines, line, m, i, segment: a } = turn;
  const other = turn.partners.pick(lines);
  if (!other || (other.m === m && other.i === i)) return null;
  const b = lines[other.m]![other.i]!;
  if (!turn.can[m]![b.bath] || !turn.can[other.m]![a.bath]) return null;
  const once = turn.with(line.map((segment, k) => (k === i ? turn.on(m, b, other.m) : segment)));
  return replaced(
    once,
    other.m,
    once[other.m]!.map((segment, k) => (k === other.i ? turn.on(other.m, a, m) : segment)),
  );
};
