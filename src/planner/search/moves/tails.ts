import { exchangedFrom, replaced } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** How often tails are exchanged from one time on. */
const AT_ONE_TIME = 0.5;

/** Two machines exchange all that follows a segment's time, or one point of each line. */
export const tails: Move = (turn) => {
  const { problem, lines, m, chance, can } = turn;
  const { starts } = turn.standing;
  const n = chance.below(lines.length);
  if (n === m) return null;
  if (turn.heads(AT_ONE_TIME))
    return exchangedFrom(problem, lines, starts, { m, n, from: starts[m]![turn.i]! });
  const a = lines[m]!;
  const b = lines[n]!;
  const i = chance.below(a.length + 1);
  const j = chance.below(b.length + 1);
  const left = [...a.slice(0, i), ...b.slice(j)];
  const right = [...b.slice(0, j), ...a.slice(i)];
  if (left.some((s) => !can[m]![s.bath]) || right.some((s) => !can[n]![s.bath])) return null;
  return replaced(turn.with(left), n, right);
};
