import type { Clock } from '../../calendar/clock.ts';
import type { Round } from './types.ts';

/** The rounds: an opening one at the start, then each listed time of day whose lead ends before the horizon does. */
export function roundsOf(
  times: readonly string[],
  leadMinutes: number,
  clock: Clock,
  horizon: number,
): Round[] {
  const at = new Set<number>();
  for (const date of clock.datesOf(0, horizon))
    for (const time of times) {
      const minute = clock.minuteOf(`${date}T${time}`);
      if (minute >= 0 && minute + leadMinutes < horizon) at.add(minute);
    }
  const starts = [...at].sort((a, b) => a - b);
  const from = [0, ...starts.map((minute) => minute + leadMinutes)];
  return [0, ...starts].map((minute, index) => ({
    index,
    at: minute,
    from: from[index]!,
    to: from[index + 1] ?? horizon,
  }));
}
