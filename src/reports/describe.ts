import type { Cover } from '../plan/cover.ts';
import type { Activity } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import { countText, lengthText, numberText } from '../words/numbers.ts';
import { spanText, timeText, whenText } from '../words/times.ts';
import { usesOfFill } from './timeline.ts';

/** What a picture says about one thing: a title and lines, all with units. */
export interface Said {
  readonly title: string;
  readonly lines: readonly string[];
}

const WORK = { circuit: 'New circuit', bath: 'Change of bath', swap: 'Swap of bags', test: 'Water test' };

/**
 * All there is to say about one activity.
 * @param covered of these activities, in this order; null: nothing is said of where the bags go
 */
export function describeActivity(
  problem: Problem,
  activities: readonly Activity[],
  covered: Cover | null,
  index: number,
): Said {
  const activity = activities[index]!;
  const { clock, rules } = problem;
  const { start, end } = activity;
  const time = `${spanText(clock, start, end)} (${lengthText(end - start)})`;
  if (activity.kind === 'test')
    return {
      title: `Water test of ${activity.water}`,
      lines: [time, 'Total chlorine; one technician throughout'],
    };
  if (activity.kind === 'duty') return { title: activity.duty, lines: [time] };
  const machine = problem.machines.find(({ id }) => id === activity.machine);
  if (activity.kind !== 'fill' || !machine) {
    const { kind } = activity;
    const running =
      activity.kind === 'circuit' || activity.kind === 'bath' ? `, then ${activity.bath} runs` : '';
    return {
      title: `${kind === 'fill' ? 'Fill' : WORK[kind]} on ${activity.machine}${running}`,
      lines: [time, 'One technician throughout'],
    };
  }
  const lines = [
    time,
    `${countText(machine.positions, 'bag')} of ${numberText(rules.fillLitres, 3)} L`,
    `Swap no sooner than ${timeText(clock, start + machine.shortest)} and no later than ${timeText(clock, start + machine.longest)}; planned ${timeText(clock, end)}`,
    `Ready ${whenText(clock, end + rules.swapMinutes + rules.releaseMinutes)}, expires ${whenText(clock, end + rules.shelf)}`,
  ];
  if (covered) {
    const { uses, left } = usesOfFill(problem, activities, covered, index);
    for (const { round, bags } of uses)
      lines.push(`${countText(bags, 'bag')} for the round of ${whenText(clock, problem.rounds[round]!.at)}`);
    if (left > 0) lines.push(`${countText(left, 'bag')} left over at the end of the horizon`);
  }
  return { title: `Fill of ${activity.bath} on ${activity.machine}`, lines };
}
