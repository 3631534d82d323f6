import { nextDate } from '../../calendar/clock.ts';
import { bagLitresOf } from '../../scenario/problem/rules.ts';
import type { Forecast, Law, LotRow, PrescriptionChange, Scenario } from '../../scenario/schema.ts';

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

function capField(
  scenario: Scenario,
  field: 'dose' | 'hoursPerDay',
  cap: number,
  otherwise: number,
): Scenario {
  const change = (row: PrescriptionChange) =>
    row[field] == null ? row : { ...row, [field]: Math.min(row[field], cap) };
  return {
    ...scenario,
    patients: scenario.patients.map((row) => ({
      ...row,
      [field]: Math.min(row[field] ?? otherwise, cap),
      ...(row.changes && { changes: row.changes.map(change) }),
    })),
  };
}

/** Nobody, listed or new, is prescribed more than so many mL/kg/h. */
export const doseCap = (cap: number): Lever => ({
  id: `dose-${cap}`,
  label: `Dose at most ${cap} mL/kg/h`,
  apply: (scenario) =>
    withForecast(capField(scenario, 'dose', cap, cap), { doseCap: least(scenario.forecast?.doseCap, cap) }),
});

/** Nobody runs for more than so many hours in 24. */
export const hoursCap = (cap: number): Lever => ({
  id: `hours-${cap}`,
  label: `Therapy at most ${cap} h a day`,
  apply: (scenario) =>
    withForecast(capField(scenario, 'hoursPerDay', cap, 24), {
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

/** One more technician in a shift. */
export const oneMoreTechnician = (shift: string): Lever => ({
  id: `technician-${shift}`,
  label: `One more technician in shift ${shift}`,
  apply: (scenario) => ({
    ...scenario,
    shifts: scenario.shifts.map((row) =>
      row.id === shift ? { ...row, technicians: row.technicians + 1 } : row,
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
  label: `Shift ${shift} ${hours} h longer`,
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

/** One more machine like the last of the list. */
export const oneMoreMachine: Lever = {
  id: 'machine',
  label: 'One more machine',
  apply: (scenario) => {
    const last = scenario.machines.at(-1);
    if (!last) return scenario;
    const id = freeId(
      last.id,
      scenario.machines.map((row) => row.id),
    );
    return { ...scenario, machines: [...scenario.machines, { ...last, id, loaded: null }] };
  },
};

/** Every water source gives half as much again as now. */
export const oneMoreWaterUnit: Lever = {
  id: 'water',
  label: 'One more RO unit at each water source: half as much again',
  apply: (scenario) => ({
    ...scenario,
    water: scenario.water.map((row) => ({ ...row, capacity: row.capacity * 1.5 })),
  }),
};

/** So many bags of every bath bought, there at the start, good for the whole forecast. */
export const boughtBags = (bags: number): Lever => ({
  id: `bought-${bags}`,
  label: `${bags} bags of each bath bought, there at the start`,
  apply: (scenario) => {
    const litres = bagLitresOf(scenario);
    const taken = [...(scenario.stock ?? []), ...(scenario.deliveries ?? [])].map((row) => row.lot);
    const lots: LotRow[] = scenario.baths.map(({ id }) => ({
      lot: freeId(`bought ${id}`, taken),
      bath: id,
      bags,
      litres,
      ready: null,
      expires: null,
    }));
    return { ...scenario, stock: [...(scenario.stock ?? []), ...lots] };
  },
});

/** Several levers at once, in their order. */
export const together = (levers: readonly Lever[]): Lever => ({
  id: levers.map(({ id }) => id).join('+') || 'none',
  label: levers.map(({ label }) => label).join('; ') || 'as it is',
  apply: (scenario) => levers.reduce((made, lever) => lever.apply(made), scenario),
});

const middle = (law: Law | null | undefined): number | null =>
  law?.law === 'fixed' ? (law.value ?? null) : (law?.mean ?? null);

/** The levers that a scenario has something to pull at; each is worked out for it. */
export function leversOf(scenario: Scenario): Lever[] {
  const doses = [...scenario.patients.map((row) => row.dose), middle(scenario.forecast?.dose) ?? 25];
  const hours = [
    ...scenario.patients.map((row) => row.hoursPerDay ?? 24),
    middle(scenario.forecast?.hoursPerDay) ?? 22,
  ];
  const main = scenario.baths
    .map(({ id }) => ({ id, count: scenario.patients.filter((row) => row.bath === id).length }))
    .sort((a, b) => b.count - a.count)[0];
  // The shift with the fewest technicians is the one that gives out; in most sites the night.
  const thin = [...scenario.shifts].sort((a, b) => a.technicians - b.technicians)[0];
  return [
    ...(Math.max(...doses) > 20 ? [doseCap(20)] : []),
    ...(Math.max(...hours) > 18 ? [hoursCap(18)] : []),
    ...(main && scenario.baths.length > 1 ? [oneBath(main.id)] : []),
    ...(thin ? [longerShift(thin.id, 2), oneMoreTechnician(thin.id)] : []),
    ...(scenario.machines.length > 0 ? [oneMoreMachine] : []),
    ...(scenario.water.length > 0 ? [oneMoreWaterUnit] : []),
    boughtBags(100),
  ];
}

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
  /** Mean bags short fewer. */
  readonly bagsShort: number;
}
