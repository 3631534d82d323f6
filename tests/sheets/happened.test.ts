import { describe, expect, it } from 'vitest';
import { compile } from '../../src/scenario/problem.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { machineOut, shiftDates, technicianMissing } from '../../src/sheets/happened.ts';
import { commit, NO_HISTORY, type Recipe } from '../../src/sheets/history.ts';
import { at, tinyWorld } from '../world.ts';

/** Two days from Monday 3 February 2031, 00:00. */
const world = (changes: Partial<Scenario> = {}) => tinyWorld({ days: 2, ...changes });
const edited = (scenario: Scenario, recipe: Recipe) =>
  commit({ scenario, history: NO_HISTORY }, 'test', recipe).scenario;

describe('a machine out of service', () => {
  const hours = (available: [number, number][] | null, from: number, to: number) => {
    const windows = available?.map(([a, b]) => ({ from: at(a), to: at(b) }));
    const [machine] = world().machines;
    const scenario = world({ machines: [{ ...machine!, ...(windows && { available: windows }) }] });
    const { clock, horizon } = compile(scenario);
    const { machines } = edited(scenario, machineOut(clock, horizon, 'M1', from, to));
    return machines[0]!.available?.map((window) => [clock.minuteOf(window.from), clock.minuteOf(window.to)]);
  };

  it('has what is left of its hours', () => {
    expect(hours(null, 860, 2880)).toEqual([[0, 860]]);
    expect(hours(null, 860, 1500)).toEqual([
      [0, 860],
      [1500, 2880],
    ]);
    expect(hours(null, 0, 2880)).toEqual([]);
    expect(
      hours(
        [
          [100, 900],
          [1000, 2000],
        ],
        860,
        1500,
      ),
    ).toEqual([
      [100, 860],
      [1500, 2000],
    ]);
    // A window may reach beyond the plan, and one that is not concerned stays as it was typed.
    expect(
      hours(
        [
          [-600, 900],
          [3000, 4000],
        ],
        100,
        200,
      ),
    ).toEqual([
      [-600, 100],
      [200, 900],
      [3000, 4000],
    ]);
    expect(hours([[100, 900]], 900, 1500)).toEqual([[100, 900]]);
    // No time at all is none, and a machine that is not there has none.
    expect(hours([[100, 900]], 500, 500)).toEqual([[100, 900]]);
    const scenario = world();
    const { clock, horizon } = compile(scenario);
    expect(edited(scenario, machineOut(clock, horizon, 'M9', 0, 60))).toBe(scenario);
  });
});

describe('a technician missing', () => {
  const shifts = [
    { id: 'day', from: '07:00', to: '19:00', technicians: 2 },
    { id: 'night', from: '19:00', to: '07:00', technicians: 1 },
  ];
  const scenario = world({ shifts });
  const { clock, horizon, staff } = compile(scenario);
  const missing = (one: Scenario, shift: number, date: string) =>
    edited(one, technicianMissing(clock, horizon, shift, date));
  /** Minutes at which fewer are on shift than before, and by how many. */
  const fewer = (one: Scenario) => {
    const now = compile(one).staff;
    return [...staff].flatMap((count, t) => (now[t] === count ? [] : [[t, count - now[t]!]]));
  };

  it('is missing on that date only, and the shift keeps its name on the others', () => {
    const less = missing(scenario, 0, '2031-02-04');
    expect(fewer(less)).toHaveLength(720);
    expect(fewer(less)[0]).toEqual([1440 + 420, 1]);
    expect(less.shifts.map(({ id, technicians, dates }) => [id, technicians, dates])).toEqual([
      ['day', 2, ['2031-02-02', '2031-02-03']],
      ['day 2031-02-04', 1, ['2031-02-04']],
      ['night', 1, undefined],
    ]);
  });

  it('leaves no row where nobody is left, and the night before the plan counts', () => {
    const dates = shiftDates(clock, horizon);
    expect(dates).toEqual(['2031-02-02', '2031-02-03', '2031-02-04']);
    const less = missing(scenario, 1, '2031-02-02');
    // What of the night from Sunday to Monday lies within the plan: midnight to 07:00.
    expect(fewer(less)).toHaveLength(420);
    expect(fewer(less)[0]).toEqual([0, 1]);
    expect(less.shifts).toHaveLength(2);
  });

  it('is missing from now on: who worked before keeps the hours', () => {
    const from = (now: number, shift: number, date: string) =>
      edited(scenario, technicianMissing(clock, horizon, shift, date, now));
    // The night from Monday 19:00 (1140) to Tuesday 07:00 (1860), noticed at 03:00 (1620); the day shift at noon (720).
    const night = from(1620, 1, '2031-02-03');
    expect([fewer(night)[0], fewer(night).length]).toEqual([[1620, 1], 240]);
    expect(night.shifts.map(({ id }) => id)).toEqual(['day', 'night', 'night 2031-02-03']);
    const day = from(720, 0, '2031-02-03');
    expect([fewer(day)[0], fewer(day).length]).toEqual([[720, 1], 420]);
    expect(day.shifts.map(({ id, technicians }) => [id, technicians])).toEqual([
      ['day', 2],
      ['day 2031-02-03', 2],
      ['day 2031-02-03 from 12:00', 1],
      ['night', 1],
    ]);
    // Noticed before it begins: all of it.
    expect(from(100, 0, '2031-02-03')).toEqual(missing(scenario, 0, '2031-02-03'));
    // Over is over.
    expect(from(1860, 1, '2031-02-03')).toBe(scenario);
  });

  it('may be two of them, one after the other', () => {
    const one = missing(scenario, 0, '2031-02-04');
    const two = missing(one, 1, '2031-02-04');
    expect(two.shifts.map(({ id }) => id)).toEqual(['day', 'night']);
    expect(fewer(two)[0]).toEqual([1860, 2]);
    // On a date on which the shift is not on, nobody is missing.
    expect(missing(one, 0, '2031-02-04')).toBe(one);
  });

  it('is told apart by its name, which stays when another is missing', () => {
    const three = world({
      shifts: [
        { id: 'day', from: '07:00', to: '19:00', technicians: 3 },
        ...['day 2031-02-04', 'day 2031-02-04 (2)'].map((id) => ({ ...shifts[1]!, id })),
        { id: 'none', from: '07:00', to: '19:00', technicians: 0 },
      ],
    });
    const one = missing(three, 0, '2031-02-04');
    const two = missing(one, 1, '2031-02-04');
    const names = (scenario: Scenario) => scenario.shifts.slice(0, 2).map((row) => [row.id, row.technicians]);
    expect(names(one)[1]).toEqual(['day 2031-02-04 (3)', 2]);
    expect(names(two)).toEqual([
      ['day', 3],
      ['day 2031-02-04 (3)', 1],
    ]);
    // Where nobody is, nobody is missing; nor on a shift that is not there.
    expect(missing(three, 3, '2031-02-04')).toBe(three);
    expect(missing(three, 4, '2031-02-04')).toBe(three);
  });
});
