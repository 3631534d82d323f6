import type { Clock } from '../../calendar/clock.ts';
import { nextDate } from '../../calendar/clock.ts';
import { dateText, shortDateText } from '../../words/times.ts';

interface Tick {
  readonly at: number;
  readonly label: string;
}
const STEPS = [5, 10, 15, 30, 60, 120, 180, 360, 720];

const midnights = new WeakMap<Clock, Map<string, number>>();

/** The minute of a local midnight, remembered: pictures ask for the same ones at every frame. */
function midnight(clock: Clock, date: string): number {
  const known = midnights.get(clock) ?? new Map<string, number>();
  midnights.set(clock, known);
  const minute = known.get(date) ?? clock.minuteOf(`${date}T00:00`);
  known.set(date, minute);
  return minute;
}

/** The local days that from..to touches, with their ends; one is 23 or 25 h long at a clock change. */
export function daysBetween(
  clock: Clock,
  from: number,
  to: number,
): { date: string; from: number; to: number }[] {
  const first = Math.floor(from);
  return clock.datesOf(first, Math.max(first, Math.ceil(to) - 1)).map((date) => ({
    date,
    from: midnight(clock, date),
    to: midnight(clock, nextDate(date, 1)),
  }));
}

/** Local times of day for an axis, so far apart that their labels (about `room` px) do not touch; none when days are narrow. */
export function hourTicks(clock: Clock, from: number, to: number, pxPerMinute: number, room = 46): Tick[] {
  const step = STEPS.find((minutes) => minutes * pxPerMinute >= room);
  if (!step) return [];
  return daysBetween(clock, from, to).flatMap(({ date, from: start, to: end }) => {
    const ticks: Tick[] = [];
    for (let wall = step; wall < 1440; wall += step) {
      const label = `${String(Math.floor(wall / 60)).padStart(2, '0')}:${String(wall % 60).padStart(2, '0')}`;
      // Only a day with a clock change needs the calendar for each tick.
      const at = end - start === 1440 ? start + wall : clock.minuteOf(`${date}T${label}`);
      if (at >= from && at <= to) ticks.push({ at, label });
    }
    return ticks;
  });
}

/** px that a date takes on an axis, with what keeps it from the next one. */
export const labelRoom = (label: string): number => label.length * 7.4 + 8;

/** Midnights in from..to, each with its date as short as the room allows, all of them alike. */
export function dayTicks(clock: Clock, from: number, to: number, pxPerMinute: number): Tick[] {
  const room = 1440 * pxPerMinute;
  return daysBetween(clock, from, to).map(({ date, from: at }) => ({
    at,
    label:
      room > labelRoom('Wed, Feb 28')
        ? dateText(date)
        : room > labelRoom('Wed 28')
          ? shortDateText(date)
          : String(Number(date.slice(8))),
  }));
}
