import ical, { ICalCalendarMethod } from 'ical-generator';
import { type Activity, placeOf } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem.ts';

const NAMES = {
  circuit: 'New circuit',
  bath: 'Change of bath',
  fill: 'Fill',
  swap: 'Swap of bags',
  test: 'Water test',
};

/**
 * A plan's activities as iCalendar (RFC 5545), times in UTC so that clock changes are right everywhere.
 * @param from min from the start; activities that begin in from..to-1 are written
 * @param madeAt when the plan was made, ms since 1970
 */
export function toCalendar(
  problem: Problem,
  activities: readonly Activity[],
  from: number,
  to: number,
  madeAt: number,
): string {
  const calendar = ical({
    name: problem.title,
    method: ICalCalendarMethod.PUBLISH,
    prodId: { company: 'Bathtide', product: 'Bathtide', language: 'EN' },
  });
  const time = (minute: number): Date => new Date(problem.clock.epochOf(minute));
  for (const activity of activities) {
    if (activity.start < from || activity.start >= to) continue;
    const bath = 'bath' in activity ? ` ${activity.bath}` : '';
    calendar.createEvent({
      id: `${activity.kind}-${placeOf(activity)}-${problem.clock.epochOf(activity.start)}@bathtide`,
      stamp: new Date(madeAt),
      start: time(activity.start),
      end: time(activity.end),
      summary: `${placeOf(activity)}: ${NAMES[activity.kind]}${bath}`,
      description:
        'Planned. Dialysate, not sterile fluid for infusion; release follows the site’s own approved procedure.',
    });
  }
  return calendar.toString();
}
