import type { Clock } from '../calendar/clock.ts';
import { isOnDate, MINUTES_A_DAY, shiftSpan } from '../scenario/problem.ts';
import type { Scenario } from '../scenario/schema.ts';
import type { Recipe } from './history.ts';

/**
 * What happens while a plan is at work, as edits of the scenario: each one act, one undo step.
 * Times in minutes from the scenario's start.
 */

/** A machine is out of service from..to: its hours are cut there, and only there. */
export const machineOut =
  (clock: Clock, horizon: number, machine: string, from: number, to: number): Recipe =>
  (draft) => {
    const row = draft.machines.find(({ id }) => id === machine);
    if (!row || from >= to) return;
    const windows = row.available ?? [{ from: clock.localOf(0), to: clock.localOf(horizon) }];
    row.available = windows.flatMap((window) => {
      const [begin, end] = [clock.minuteOf(window.from), clock.minuteOf(window.to)];
      if (to <= begin || from >= end) return [window];
      return [
        ...(from > begin ? [{ ...window, to: clock.localOf(from) }] : []),
        ...(to < end ? [{ ...window, from: clock.localOf(to) }] : []),
      ];
    });
  };

type ShiftRow = Scenario['shifts'][number];

/** Dates on which a shift of the plan can begin: the day before it too, whose night shift runs into it. */
export const shiftDates = (clock: Clock, horizon: number): string[] =>
  clock.datesOf(-MINUTES_A_DAY, horizon - 1);

/**
 * One technician fewer on one date of a shift, from minute `now` on: that date gets rows of its own, the others stay as
 * they are. What was worked of it before now keeps its people.
 */
export const technicianMissing =
  (clock: Clock, horizon: number, shift: number, date: string, now = 0): Recipe =>
  (draft) => {
    const row = draft.shifts[shift];
    if (!row || row.technicians < 1 || !isOnDate(row, date)) return;
    const { from: begin, to: end } = shiftSpan(clock, row, date);
    if (now >= end) return;
    const name = row.dates?.length === 1 ? row.id : freeName(draft.shifts, `${row.id} ${date}`);
    const less = { ...row, id: name, dates: [date], technicians: row.technicians - 1 };
    const own = [less];
    if (now > Math.max(0, begin)) {
      const local = clock.localOf(now);
      const from = local.slice(11);
      own.unshift({ ...row, id: name, dates: [date], to: from });
      Object.assign(less, { id: `${name} from ${from}`, dates: [local.slice(0, 10)], from });
    }
    const others = (row.dates ?? shiftDates(clock, horizon)).filter((one) => one !== date);
    if (others.length > 0) row.dates = others;
    draft.shifts.splice(
      others.length > 0 ? shift + 1 : shift,
      others.length > 0 ? 0 : 1,
      ...own.filter(({ technicians }) => technicians > 0),
    );
  };

function freeName(shifts: readonly ShiftRow[], wanted: string): string {
  const taken = new Set(shifts.map(({ id }) => id));
  let name = wanted;
  for (let n = 2; taken.has(name); n++) name = `${wanted} (${n})`;
  return name;
}
