import { type Cover, lotsOfFills } from '../plan/cover.ts';
import { swapWindowsIn } from '../plan/latest.ts';
import { type Activity, bathsOf } from '../plan/plan.ts';
import { workOf } from '../plan/work.ts';
import type { Problem } from '../scenario/problem/types.ts';
import { workTitle } from '../words/activities.ts';
import { countText, lengthText, numberText } from '../words/numbers.ts';
import { readyText, roundText, spanText, timeText, whenText, withinText } from '../words/times.ts';
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
 * Who is held by each activity of a plan, e.g. '1 technician throughout, walks from 08:58.', 'No technician is held.'
 * @param activities the whole plan: work that follows on other work at the same place has no walk
 */
export function handsIn(problem: Problem, activities: readonly Activity[]): (index: number) => string {
  const pieces = new Map(workOf(problem, activities).map((piece) => [piece.index, piece]));
  return (index) => {
    const piece = pieces.get(index);
    if (!piece) return 'No technician is held.';
    const { technicians, walkFrom, start, end } = piece;
    const long = end < activities[index]!.end ? `for the first ${lengthText(end - start)}` : 'throughout';
    const walk =
      walkFrom < start
        ? `, ${technicians === 1 ? 'walks' : 'walk'} from ${timeText(problem.clock, walkFrom)}`
        : '';
    return `${countText(technicians, 'technician')} ${long}${walk}.`;
  };
}

/** When a duty may begin, and what it does to the place; nothing for other work. */
function dutyLines(problem: Problem, activity: Activity): string[] {
  if (activity.kind !== 'duty') return [];
  const { clock } = problem;
  const duty = problem.duties.find(({ id }) => id === activity.duty);
  const by = activity.at + (duty?.slack ?? 0);
  return [
    by > activity.at
      ? `May begin from ${timeText(clock, activity.at)} to ${timeText(clock, by)}`
      : `Due at ${timeText(clock, activity.at)}`,
    ...(duty?.endsCircuit ? ['The machine needs a new circuit afterwards'] : []),
    ...(duty?.voidsTests ? ['The water needs a new total chlorine test afterwards'] : []),
    ...(duty && duty.flow > 0 ? [`Uses ${numberText(duty.flow, 0)} mL/min of water`] : []),
  ];
}

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
  const hands = handsIn(problem, activities)(index);
  if (activity.kind !== 'fill' || !machine)
    return { title, lines: [time, ...dutyLines(problem, activity), hands] };
  const window = swapWindowsIn(problem, activities)(index)!;
  const samples = machine.positions - machine.usable;
  const ready = readyOfFill(problem, activities, activity);
  const lines = [
    time,
    `${countText(machine.usable, 'bag')} of ${numberText(rules.fillLitres, 3)} L${samples > 0 ? `, and ${samples} more for tests` : ''}`,
    ...(rules.fillStartMinutes > 0 ? [hands] : []),
    `Swap ${withinText(clock, window)}; planned ${timeText(clock, end)}`,
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
