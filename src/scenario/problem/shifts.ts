import { type Clock, nextDate } from '../../calendar/clock.ts';
import type { Scenario } from '../schema.ts';
import { MINUTES_A_DAY, type ShiftBand } from './types.ts';

type ShiftRow = Scenario['shifts'][number];
const isOnDate = ({ dates }: Pick<ShiftRow, 'dates'>, date: string): boolean =>
  !dates || dates.includes(date);

/** Minutes from..to of a shift that begins on a date; it runs past midnight where its `to` is not after its `from`. */
const shiftSpan = (
  clock: Clock,
  { from, to }: Pick<ShiftRow, 'from' | 'to'>,
  date: string,
): { readonly from: number; readonly to: number } => ({
  from: clock.minuteOf(`${date}T${from}`),
  to: clock.minuteOf(`${to > from ? date : nextDate(date, 1)}T${to}`),
});

/** Each shift on each date it begins on, also the one that began the evening before the start. */
export function shiftBands(shifts: Scenario['shifts'], clock: Clock, horizon: number): ShiftBand[] {
  // Two days back: a shift of 24 h may last 25 h across a clock change.
  const dates = clock.datesOf(-2 * MINUTES_A_DAY, horizon);
  return shifts
    .flatMap((shift) =>
      dates
        .filter((date) => isOnDate(shift, date))
        .map((date) => ({
          shift: shift.id,
          ...shiftSpan(clock, shift, date),
          technicians: shift.technicians,
        })),
    )
    .filter((band) => band.to > 0 && band.from < horizon && band.to > band.from)
    .sort((a, b) => a.from - b.from);
}
