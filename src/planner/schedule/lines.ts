import type { Activity } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Line, Segment } from './segment.ts';

/**
 * The lines behind a plan's activities from minute `now` on: what the dispatcher would be told to make the same plan.
 * A rest between two activities becomes a "not before".
 * @param fixed what of them is booked beforehand
 */
export function linesOf(
  problem: Problem,
  activities: readonly Activity[],
  now: number,
  fixed: readonly Activity[] = [],
): Line[] {
  const done = new Set(fixed.map((one) => JSON.stringify(one)));
  const bathOf = new Map(problem.baths.map((id, index) => [id, index]));
  return problem.machines.map((machine) => {
    const mine = activities
      .filter((activity) => activity.kind !== 'test' && activity.machine === machine.id)
      .sort((a, b) => a.start - b.start);
    const line: Segment[] = [];
    let busyUntil = now;
    let setUp: { fresh: boolean; start: number; rested: boolean } | null = null;
    for (const activity of mine) {
      if (activity.start >= now && !done.has(JSON.stringify(activity))) {
        if (activity.kind === 'circuit') {
          setUp = { fresh: true, start: activity.start, rested: activity.start > busyUntil };
          const last = line.at(-1);
          if (last) line[line.length - 1] = { ...last, toEnd: true };
        } else if (activity.kind === 'bath')
          setUp ??= { fresh: false, start: activity.start, rested: activity.start > busyUntil };
        else if (activity.kind === 'fill') {
          const bath = bathOf.get(activity.bath);
          const start: number = setUp?.start ?? activity.start;
          const rested: boolean = setUp?.rested ?? start > busyUntil;
          const last = line.at(-1);
          if (bath === undefined) continue;
          if (last && last.bath === bath && !setUp && !rested)
            line[line.length - 1] = { ...last, fills: last.fills + 1 };
          else
            line.push({
              bath,
              fills: 1,
              toEnd: false,
              fresh: setUp?.fresh ?? false,
              notBefore: rested ? start : 0,
            });
          setUp = null;
        }
      }
      busyUntil = Math.max(busyUntil, activity.end);
    }
    return line;
  });
}
