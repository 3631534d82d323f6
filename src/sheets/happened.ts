import type { Clock } from '../calendar/clock.ts';
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
export const isOnDate = ({ dates }: Pick<ShiftRow, 'dates'>, date: string): boolean =>
  !dates || dates.includes(date);

/** Dates on which a shift of the plan can begin: the day before it too, whose night shift runs into it. */
export const shiftDates = (clock: Clock, horizon: number): string[] => clock.datesOf(-1440, horizon - 1);

/** One technician fewer on one date of a shift: that date gets a row of its own, the others stay as they are. */
export const technicianMissing =
  (clock: Clock, horizon: number, shift: number, date: string): Recipe =>
  (draft) => {
    const row = draft.shifts[shift];
    if (!row || row.technicians < 1 || !isOnDate(row, date)) return;
    const left = row.technicians - 1;
    const alone = row.dates?.length === 1;
    const others = (row.dates ?? shiftDates(clock, horizon)).filter((one) => one !== date);
    const own = { ...row, dates: [date], technicians: left };
    if (!alone) {
      row.dates = others;
      own.id = freeName(draft.shifts, `${row.id} ${date}`);
    }
    draft.shifts.splice(alone ? shift : shift + 1, alone ? 1 : 0, ...(left > 0 ? [own] : []));
  };

function freeName(shifts: readonly ShiftRow[], wanted: string): string {
  const taken = new Set(shifts.map(({ id }) => id));
  let name = wanted;
  for (let n = 2; taken.has(name); n++) name = `${wanted} (${n})`;
  return name;
}
