import ical, { ICalCalendarMethod } from 'ical-generator';
import { type SwapWindow, swapWindowsIn } from '../plan/latest.ts';
import { type Activity, bathsOf, placeOf } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import { workTitle } from '../words/activities.ts';
import { CAUTION } from '../words/cautions.ts';
import { timeText, withinText } from '../words/times.ts';
import { handsIn } from './describe.ts';

/**
 * Names each activity by what it is, not by when: kind, place, local day, and the how many-th of its kind there on that
 * day. So the same work of a plan made again is the same event, and an importer moves it instead of adding another.
 * @param activities of the whole plan, in order of time
 */
export function eventNames(problem: Problem, activities: readonly Activity[]): string[] {
  const counts = new Map<string, number>();
  return activities.map((activity) => {
    const day = problem.clock.localOf(activity.start).slice(0, 10);
    const work = [problem.title, placeOf(activity)]
      .map((text) => encodeURIComponent(oneLine(text)))
      .join('-');
    const kind =
      activity.kind === 'duty' ? `duty-${encodeURIComponent(oneLine(activity.duty))}` : activity.kind;
    const name = `${kind}-${work}-${day}`;
    const count = (counts.get(name) ?? 0) + 1;
    counts.set(name, count);
    return `${name}-${count}@bathtide`;
  });
}

/** When a technician must come to swap the bags of a fill, local time. */
function windowText(problem: Problem, window: SwapWindow | null, end: number): string {
  if (!window) return '';
  return `Swap ${withinText(problem.clock, window)}, planned ${timeText(problem.clock, end)}. `;
}

/**
 * A text as one line: what a title holds must not begin a line of its own, or it would be read as an event that nobody
 * planned. RFC 5545 ends lines by CR LF; readers take each alone, and U+2028, U+2029 and U+0085 too.
 */
export const oneLine = (text: string): string =>
  text.replace(/[\p{Cc}\u2028\u2029]+/gu, ' ').replace(/\p{Cs}/gu, '\ufffd');

/**
 * A plan's activities as iCalendar (RFC 5545), times in UTC so that clock changes are right everywhere.
 * @param activities of the whole plan, in order of time
 * @param from min from the start; activities that begin in from..to-1 are written
 * @param madeAt when the file is made, ms since 1970; a later file supersedes an earlier one (SEQUENCE, DTSTAMP)
 * @param warnings what a reader must know of the plan: stand in each event, as a calendar shows one at a time
 */
export function toCalendar(
  problem: Problem,
  activities: readonly Activity[],
  from: number,
  to: number,
  madeAt: number,
  warnings: readonly string[] = [],
): string {
  const calendar = ical({
    name: oneLine(problem.title),
    method: ICalCalendarMethod.PUBLISH,
    prodId: { company: 'Bathtide', product: 'Bathtide', language: 'EN' },
  });
  const time = (minute: number): Date => new Date(problem.clock.epochOf(minute));
  const names = eventNames(problem, activities);
  const baths = bathsOf(activities);
  const windows = swapWindowsIn(problem, activities);
  const hands = handsIn(problem, activities);
  const fills = new Map(
    activities.flatMap((one, index) =>
      one.kind === 'fill' ? [[`${one.machine} ${one.end}`, index] as const] : [],
    ),
  );
  activities.forEach((activity, index) => {
    if (activity.start < from || activity.start >= to) return;
    const fill =
      activity.kind === 'swap'
        ? fills.get(`${activity.machine} ${activity.start}`)
        : activity.kind === 'fill'
          ? index
          : undefined;
    calendar.createEvent({
      id: names[index]!,
      // Minutes: a number of 32 bits for a long time to come.
      sequence: Math.floor(madeAt / 60_000),
      stamp: new Date(madeAt),
      start: time(activity.start),
      end: time(activity.end),
      summary: oneLine(workTitle(activity, baths[index]!)),
      description: oneLine(
        `${fill === undefined ? '' : windowText(problem, windows(fill), activities[fill]!.end)}${warnings.map((text) => `${text} `).join('')}As planned. ${CAUTION.short} ${hands(index)}`,
      ),
    });
  });
  return calendar.toString();
}
