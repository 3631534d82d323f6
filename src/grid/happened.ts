import type { Clock } from '../calendar/clock.ts';
import type { Cover } from '../plan/cover.ts';
import type { Activity } from '../plan/plan.ts';
import { isOnDate, shiftSpan } from '../scenario/problem/shifts.ts';
import { type Lot, MINUTES_A_DAY, type Problem } from '../scenario/problem/types.ts';
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
    const name =
      row.dates?.length === 1
        ? row.id
        : freeName(
            draft.shifts.map(({ id }) => id),
            `${row.id} ${date}`,
          );
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

function freeName(taken: readonly string[], wanted: string): string {
  let name = wanted;
  for (let n = 2; taken.includes(name); n++) name = `${wanted} (${n})`;
  return name;
}

/** A fill begun before now whose bags are not past their expiry. */
export interface Filled {
  readonly fill: Activity & { readonly kind: 'fill' };
  readonly lot: Lot;
  /** Bags that have not left with a round; a bag of which a part has left counts as left. */
  readonly here: number;
  /** Its bags are off the machine. */
  readonly done: boolean;
}

/** The fills of which something can be lost at minute `now`, in the plan's order. `cover` is the plan's. */
export function filledBefore(
  problem: Problem,
  activities: readonly Activity[],
  cover: Cover,
  now: number,
): Filled[] {
  const fills = activities.filter((one): one is Filled['fill'] => one.kind === 'fill');
  return fills.flatMap((fill, index) => {
    const number = problem.lots.length + index;
    const lot = cover.lots[number];
    if (!lot || fill.start >= now || lot.expires <= now) return [];
    const parts = cover.servings
      .filter((serving) => serving.lot === number && problem.rounds[serving.round]!.at <= now)
      .reduce((sum, serving) => sum + serving.parts, 0);
    const done = fill.end + problem.rules.swapMinutes <= now;
    return { fill, lot, here: lot.bags - Math.ceil(parts / lot.bagParts), done };
  });
}

/**
 * So many bags of fills are lost: the fills no longer count, and what is left of them is stock of its own, as good as it
 * was. Of a fill whose bags are still on the machine all are lost.
 */
export const bagsLost =
  ({ clock, baths, rules }: Problem, losses: readonly { filled: Filled; bags: number }[]): Recipe =>
  (draft) => {
    for (const { filled, bags } of losses) {
      const { fill, lot, done } = filled;
      if (bags < 1) continue;
      draft.lost = [...(draft.lost ?? []), { machine: fill.machine, at: clock.localOf(fill.start) }];
      if (!done || bags >= lot.bags) continue;
      const taken = [...(draft.stock ?? []), ...(draft.deliveries ?? [])].map((row) => row.lot);
      const name = freeName(taken, `${fill.machine} ${clock.localOf(fill.start)}, left`);
      const times = { ready: clock.localOf(lot.ready), expires: clock.localOf(lot.expires) };
      const left = { lot: name, bath: baths[lot.bath]!, bags: lot.bags - bags, litres: rules.fillLitres };
      draft.stock = [...(draft.stock ?? []), { ...left, ...times }];
    }
  };

/** What a failed water test takes. */
export interface Failure {
  readonly water: string;
  /** Fills that ran since the last test that passed. */
  readonly fills: readonly Filled[];
  /** Minutes at which later tests began: they do not count. */
  readonly tests: readonly number[];
}

/**
 * A test of a source failed: fills that ran on its water since the last test that passed are in doubt. Circuits and bath
 * changes stay as done: the audit tells which of them are left without a test.
 * @param passed minute at which that test ended; minus infinity where none is known to have passed
 */
export function waterFailure(
  problem: Problem,
  activities: readonly Activity[],
  filled: readonly Filled[],
  water: string,
  passed: number,
  now: number,
): Failure {
  const mine = new Set(machinesOn(problem, water));
  return {
    water,
    fills: filled.filter(({ fill }) => mine.has(fill.machine) && fill.end > passed),
    tests: activities.flatMap((one) =>
      one.kind === 'test' && one.water === water && one.start < now && one.end > passed ? one.start : [],
    ),
  };
}

/** The bags still here are thrown away, later tests do not count, its machines are out of service from now until `until`. */
export const waterFailed =
  (problem: Problem, { water, fills, tests }: Failure, now: number, until: number): Recipe =>
  (draft) => {
    const { clock, horizon } = problem;
    bagsLost(
      problem,
      fills.map((filled) => ({ filled, bags: inDoubt(filled) })),
    )(draft);
    const failed = tests.map((start) => ({ water, at: clock.localOf(start) }));
    draft.lost = [...(draft.lost ?? []), ...failed];
    for (const id of machinesOn(problem, water)) machineOut(clock, horizon, id, now, until)(draft);
  };

/** Of a fill on water that failed so many bags can be kept from the bedside. */
export const inDoubt = ({ done, here, lot }: Filled): number => (done ? here : lot.bags);

const machinesOn = ({ machines, water }: Problem, id: string): string[] =>
  machines.filter((one) => water[one.water]!.id === id).map((one) => one.id);
