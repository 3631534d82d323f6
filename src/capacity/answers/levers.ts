import { nextDate } from '../../calendar/clock.ts';
import { dosesAtMost, hoursAtMost } from '../../scenario/clinical.ts';
import { bagLitresOf } from '../../scenario/problem/rules.ts';
import type { Forecast, LotRow, Scenario } from '../../scenario/schema.ts';
import { countText } from '../../words/numbers.ts';

/** A change that somebody could decide, as a change of the scenario. The plan never decides a prescription. */
export interface Lever {
  readonly id: string;
  readonly label: string;
  /** The scenario after it; a variant to keep, plan and compare. */
  apply(scenario: Scenario): Scenario;
}

const least = (value: number | null | undefined, cap: number): number =>
  Math.min(value ?? Number.POSITIVE_INFINITY, cap);

const withForecast = (scenario: Scenario, part: Partial<Forecast>): Scenario => ({
  ...scenario,
  forecast: { ...scenario.forecast, ...part },
});

/** Nobody, listed or new, is prescribed more than so many mL/kg/h. */
export const doseCap = (cap: number): Lever => ({
  id: `dose-${cap}`,
  label: `Dose at most ${cap} mL/kg/h`,
  apply: (scenario) =>
    withForecast(dosesAtMost(scenario, cap), { doseCap: least(scenario.forecast?.doseCap, cap) }),
});

/** Nobody runs for more than so many hours in 24. */
export const hoursCap = (cap: number): Lever => ({
  id: `hours-${cap}`,
  label: `Therapy at most ${cap} h per day`,
  apply: (scenario) =>
    withForecast(hoursAtMost(scenario, cap), {
      hoursCap: least(scenario.forecast?.hoursCap, cap),
    }),
});

/** Everybody gets the same bath. */
export const oneBath = (bath: string): Lever => ({
  id: `bath-${bath}`,
  label: `Everybody on ${bath} (stock and supplies of other baths then serve nobody)`,
  apply: (scenario) =>
    withForecast(
      {
        ...scenario,
        patients: scenario.patients.map((row) => ({
          ...row,
          bath,
          ...(row.changes && {
            changes: row.changes.map((change) => (change.bath == null ? change : { ...change, bath })),
          }),
        })),
      },
      { bathByDay: [{ fromDay: 0, share: { [bath]: 1 } }] },
    ),
});

/** So many technicians more in a shift. */
export const moreTechnicians = (shift: string, count: number): Lever => ({
  id: `technicians-${shift}-${count}`,
  label: `${countText(count, 'technician')} more in shift ${shift}`,
  apply: (scenario) => ({
    ...scenario,
    shifts: scenario.shifts.map((row) =>
      row.id === shift ? { ...row, technicians: row.technicians + count } : row,
    ),
  }),
});

const clock = (minute: number): string => {
  const m = ((minute % 1440) + 1440) % 1440;
  return `${String(Math.floor(m / 60)).padStart(2, '0')}:${String(m % 60).padStart(2, '0')}`;
};
const minuteOf = (time: string): number => Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5));

/** A shift begins earlier and ends later by half of so many hours each; never longer than 24 h. */
export const longerShift = (shift: string, hours: number): Lever => ({
  id: `longer-${shift}-${hours}`,
  label: `Shift ${shift} ${countText(hours, 'hour')} longer`,
  apply: (scenario) => ({
    ...scenario,
    shifts: scenario.shifts.map((row) => {
      if (row.id !== shift) return row;
      const from = minuteOf(row.from);
      const length = (minuteOf(row.to) - from + 1440) % 1440 || 1440;
      const more = Math.min(hours * 60, 1440 - length) / 2;
      const begin = from - Math.floor(more);
      return {
        ...row,
        from: clock(begin),
        to: clock(from + length + Math.ceil(more)),
        // A shift belongs to the date on which it begins: before midnight that is the day before.
        ...(begin < 0 && row.dates && { dates: row.dates.map((date) => nextDate(date, -1)) }),
      };
    }),
  }),
});

/** Free among ids that are taken: `id`, or `id` with a number behind it. */
export function freeId(id: string, taken: readonly string[]): string {
  for (let n = 2; ; n++) if (!taken.includes(`${id} ${n}`)) return `${id} ${n}`;
}

/** So many machines more like one of the list. */
export const moreMachines = (like: string, count: number): Lever => ({
  id: `machines-${like}-${count}`,
  label: `${countText(count, 'machine')} more like ${like}`,
  apply: (scenario) => {
    const row = scenario.machines.find(({ id }) => id === like);
    if (!row) return scenario;
    const machines = [...scenario.machines];
    for (let n = 0; n < count; n++) {
      const id = freeId(
        like,
        machines.map((one) => one.id),
      );
      machines.push({ ...row, id, loaded: null });
    }
    return { ...scenario, machines };
  },
});

/** One water source gives so many mL/min more, also after each change of its capacity. */
export const moreWater = (source: string, more: number): Lever => ({
  id: `water-${source}-${more}`,
  label: `${countText(more, 'mL/min', 'mL/min')} more water at ${source}`,
  apply: (scenario) => ({
    ...scenario,
    water: scenario.water.map((row) =>
      row.id === source
        ? {
            ...row,
            capacity: row.capacity + more,
            ...(row.capacityChanges && {
              capacityChanges: row.capacityChanges.map((change) => ({
                ...change,
                capacity: change.capacity + more,
              })),
            }),
          }
        : row,
    ),
  }),
});

/** So many bags of a bath bought, there at the start, good for the whole forecast. */
export const boughtBags = (bath: string, bags: number): Lever => ({
  id: `bought-${bath}-${bags}`,
  label: `${countText(bags, 'bag')} of ${bath} bought, there at the start`,
  apply: (scenario) => {
    const stock = scenario.stock ?? [];
    const taken = [...stock, ...(scenario.deliveries ?? [])].map((row) => row.lot);
    const litres = bagLitresOf(scenario);
    const lot: LotRow = {
      lot: freeId(`bought ${bath}`, taken),
      bath,
      bags,
      litres,
      ready: null,
      expires: null,
    };
    return { ...scenario, stock: [...stock, lot] };
  },
});

/** Several levers at once, in their order. */
export const together = (levers: readonly Lever[]): Lever => ({
  id: levers.map(({ id }) => id).join('+') || 'none',
  label: levers.map(({ label }) => label).join('; ') || 'as it is',
  apply: (scenario) => levers.reduce((made, lever) => lever.apply(made), scenario),
});

/** What a lever saves, against the scenario as it is. */
export interface LeverSaving {
  readonly id: string;
  readonly label: string;
  /** Bags a day fewer to hang, mean over days and runs. */
  readonly bagsPerDay: number;
  /** Machines fewer for the wanted confidence; null: one of the two has no answer. */
  readonly machines: number | null;
  /** Chance of shortage with the scenario's own machines, before and after. */
  readonly chanceBefore: number;
  readonly chanceAfter: number;
  /** Half of the 95 % interval of the chance after. */
  readonly chanceError: number;
  /** Machines that are enough after it; null: no number asked about. */
  readonly enough: number | null;
  /** Mean bags short fewer. */
  readonly bagsShort: number;
}
