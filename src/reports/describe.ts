import { type Cover, lotsOfFills } from '../plan/cover.ts';
import { swapWindowsIn } from '../plan/latest.ts';
import { type Activity, bathsOf } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import { workTitle } from '../words/activities.ts';
import { countText, lengthText, numberText } from '../words/numbers.ts';
import { readyText, roundText, spanText, timeText, whenText } from '../words/times.ts';
import { usesOfFill } from './timeline.ts';

/** What a picture says about one thing: a title and lines, all with units. */
export interface Said {
  readonly title: string;
  readonly lines: readonly string[];
}

/** Minute at which the bags of a fill are ready; infinity: not before a test that is not planned. */
const readyOfFill = (problem: Problem, activities: readonly Activity[], fill: Activity): number => {
  const number = problem.machines.findIndex(({ id }) => 'machine' in fill && id === fill.machine);
  const lots = lotsOfFills(problem, activities);
  return lots.find(({ machine, begun }) => machine === number && begun === fill.start)!.ready;
};

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
  const title = workTitle(activity, bathsOf(activities)[index]);
  const machine = problem.machines.find((one) => 'machine' in activity && one.id === activity.machine);
  if (activity.kind !== 'fill' || !machine) return { title, lines: [time, 'One technician throughout.'] };
  const window = swapWindowsIn(problem, activities)(index)!;
  const ready = readyOfFill(problem, activities, activity);
  const lines = [
    time,
    `${countText(machine.positions, 'bag')} of ${numberText(rules.fillLitres, 3)} L`,
    `Swap between ${timeText(clock, window.from)} and ${timeText(clock, window.to)}; planned ${timeText(clock, end)}`,
    `Ready ${readyText(clock, ready)}, expires ${whenText(clock, end + rules.shelf)}`,
  ];
  if (covered) {
    const { uses, left } = usesOfFill(problem, activities, covered, index);
    for (const { round, bags } of uses)
      lines.push(
        `${countText(bags, 'bag')} for ${roundText(clock, { round, at: problem.rounds[round]!.at })}`,
      );
    if (left > 0) lines.push(`${countText(left, 'bag')} left over at the end of the plan`);
  }
  return { title, lines };
}
