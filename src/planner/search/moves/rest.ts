import { exchanged } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** Rest before a segment, until a while after it would have begun; or no rest. */
export const rest: Move = (turn) => {
  const { line, standing, m, i, segment, chance } = turn;
  const start = standing.starts[m]![i] ?? 0;
  const by = (turn.heads() ? 15 : 180) * (chance.unit() - 0.4);
  const notBefore =
    segment.notBefore > 0 && turn.heads()
      ? 0
      : Math.max(0, Math.min(turn.problem.horizon - 1, Math.round(start + by)));
  return turn.with(exchanged(line, i, { ...segment, notBefore }));
};
