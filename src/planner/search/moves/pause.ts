import type { Line } from '../../schedule/segment.ts';
import { restedFrom } from '../lineEdits.ts';
import type { Move } from './turn.ts';

/** A rest of all machines of a source, min. */
const SHORT_REST = 60;
const LONG_REST = 960;

/**
 * All machines of a source rest at one time, since a source at rest needs no tests: from where a segment begins. Where
 * it rests before, the rests about that time are moved or left out together.
 */
export const pause: Move = (turn) => {
  const { lines, standing, m, i, chance } = turn;
  const { machines, horizon, rules } = turn.problem;
  const at = standing.starts[m]![i]!;
  if (at >= horizon) return null;
  const minute = (time: number) => Math.max(1, Math.min(horizon - 1, Math.round(time)));
  const together = (change: (line: Line, n: number) => Line) =>
    lines.map((line, n) => (machines[n]!.water === machines[m]!.water ? change(line, n) : line));
  const rested = turn.segment.notBefore;
  if (rested > 0 && turn.heads(0.7)) {
    const near = 30 + 300 * chance.unit();
    const by = (turn.heads() ? 120 : 480) * (chance.unit() - 0.5);
    const then = turn.heads() ? () => 0 : (time: number) => minute(time + by);
    return together((line) =>
      line.map((segment) =>
        segment.notBefore > 0 && Math.abs(segment.notBefore - rested) < near
          ? { ...segment, notBefore: then(segment.notBefore) }
          : segment,
      ),
    );
  }
  const until = minute(at + SHORT_REST * (LONG_REST / SHORT_REST) ** chance.unit());
  return together((line, n) => {
    const cycle = machines[n]!.shortest + rules.swapMinutes;
    const now = { starts: standing.starts[n]!, placed: standing.placed[n]!, cycle };
    return restedFrom(line, now, at, until);
  });
};
