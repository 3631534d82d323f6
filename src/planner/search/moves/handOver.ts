import { firstFrom, inserted, replaced } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** A few segments in a row go over to another machine, to where it is at their time. */
export const handOver: Move = (turn) => {
  const { lines, line, standing, m, i, chance } = turn;
  const to = chance.below(lines.length);
  const count = 1 + chance.below(3);
  const row = line.slice(i, i + count);
  if (to === m || row.some(({ bath }) => !turn.can[to]![bath])) return null;
  const at = firstFrom(lines[to]!, standing.starts[to]!, standing.starts[m]![i]!);
  const moved = row.map((segment) => turn.on(to, segment, m));
  if (turn.heads()) moved[0] = { ...moved[0]!, fresh: true };
  const after = line.slice(i + count);
  // What follows keeps its time, or moves up.
  if (after[0] && turn.heads()) after[0] = { ...after[0], notBefore: standing.starts[m]![i + count]! };
  const left = turn.with([...line.slice(0, i), ...after]);
  return replaced(left, to, inserted(lines[to]!, at, ...moved));
};
