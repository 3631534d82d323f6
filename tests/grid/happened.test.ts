import { describe, expect, it } from 'vitest';
import { demandOf } from '../../src/demand/demand.ts';
import {
  bagsLost,
  filledBefore,
  machineOut,
  shiftDates,
  technicianMissing,
  waterFailed,
  waterFailure,
} from '../../src/grid/happened.ts';
import { commit, NO_HISTORY, type Recipe } from '../../src/grid/history.ts';
import { cover, lotsOfFills } from '../../src/plan/cover.ts';
import { settle } from '../../src/planner/plan.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, batch, bathChange, circuit, test, tinyWorld } from '../world.ts';

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

/**
 * Two fills of 2K (00:40 and 01:53), one of 4K (03:16), a test at 05:00. From 07:00 on 2 L/h run into one patient: a bag
 * of 6.5 L every 195 min, so of the first fill 4 bags hang before 19:00 and leave with the round at 06:00 (reckoned by
 * hand), two at 18:00.
 */
describe('bags that are lost', () => {
  const patients = [{ id: 'bed-01', weight: 80, dose: 25, bath: '2K', from: at(420) }];
  const water = [{ ...tinyWorld().water[0]!, testEvery: 480 }];
  const scenario = world({ patients, water, days: 1 });
  const problem = compile(scenario);
  const done = [
    circuit(10),
    ...batch(40),
    ...batch(113),
    bathChange(186),
    ...batch(196, '4K'),
    test(300),
    circuit(385),
  ];
  const covered = cover(problem, demandOf(problem), lotsOfFills(problem, done));
  const filled = (now: number) => filledBefore(problem, done, covered, now);
  const summary = (now: number) => filled(now).map(({ fill, here, done }) => [fill.start, here, done]);
  /** What is left of a plan, and what its lots then serve, at minute 400. */
  const leftOf = (edited: Scenario) => {
    const problem = compile(edited);
    const { activities } = settle(problem, done, 400);
    const { left, unmet, lots } = cover(problem, demandOf(problem), lotsOfFills(problem, activities));
    const fills = activities.flatMap((one) => (one.kind === 'fill' ? one.start : []));
    return { fills, activities, unmet: unmet[0], left: lots.map(({ id }, i) => [id, left[i]! / 65]) };
  };

  it('are looked for among what was begun, less what has left with a round', () => {
    expect(summary(0)).toEqual([]);
    expect(summary(40)).toEqual([]);
    expect(summary(41)).toEqual([[40, 8, false]]);
    expect(summary(112)).toEqual([[40, 8, false]]);
    expect(summary(113)).toEqual([[40, 8, true]]);
    expect(summary(359)[0]).toEqual([40, 8, true]);
    expect(summary(400)).toEqual([
      [40, 4, true],
      [113, 8, true],
      [196, 8, true],
    ]);
  });

  it('no longer count; what is left of the fill is stock, ready and good as it was', () => {
    const [first] = filled(400);
    const less = edited(scenario, bagsLost(problem, [{ filled: first!, bags: 3 }]));
    expect(less.lost).toEqual([{ machine: 'M1', at: at(40) }]);
    // Off the machine 105 + 8, released 15 min later; good for 120 h from the fill's end.
    expect(less.stock).toEqual([
      {
        lot: `M1 ${at(40)}, left`,
        bath: '2K',
        bags: 5,
        litres: 6.5,
        ready: at(128),
        expires: at(105 + 120 * 60),
      },
    ]);
    const { fills, unmet, left } = leftOf(less);
    expect(fills).toEqual([113, 196]);
    expect(unmet).toEqual([0, 0, 0]);
    expect(left.slice(0, 2)).toEqual([
      [`M1 ${at(40)}, left`, 0],
      // A lot is named after the begin of its fill.
      [`M1 ${at(113).replace('T', ' ')}`, 7],
    ]);
    expect(leftOf(edited(scenario, bagsLost(problem, [{ filled: first!, bags: 8 }]))).left).toHaveLength(2);
    // Of a fill that is under way no part can be kept.
    const [under] = filled(50);
    expect(edited(scenario, bagsLost(problem, [{ filled: under!, bags: 3 }])).stock).toBeUndefined();
  });

  it('are all that ran on water since its last test that passed', () => {
    const failure = (passed: number) => waterFailure(problem, done, filled(400), 'RO', passed, 400);
    const starts = (passed: number) => {
      const { fills, tests } = failure(passed);
      return [fills.map(({ fill }) => fill.start), tests];
    };
    expect(starts(0)).toEqual([[40, 113, 196], [300]]);
    expect(starts(105)).toEqual([[113, 196], [300]]);
    expect(starts(310)).toEqual([[], []]);
    const failed = edited(scenario, waterFailed(problem, failure(105), 400, 600));
    expect(failed.machines[0]!.available).toEqual([
      { from: at(0), to: at(400) },
      { from: at(600), to: at(1440) },
    ]);
    const { fills, activities, unmet } = leftOf(failed);
    expect(fills).toEqual([40]);
    expect(activities.some(({ kind }) => kind === 'test')).toBe(false);
    // The circuit change under way is cut off with its machine; without that, what was set up stays.
    expect(activities.some(({ start }) => start === 385)).toBe(false);
    const on = leftOf(edited(scenario, waterFailed(problem, failure(105), 400, 400)));
    expect(on.activities.some(({ start }) => start === 385)).toBe(true);
    expect(unmet).toEqual([0, 0, 0]);
    // Of the first fill four bags have left with the round: they served it, whatever is thought of them now.
    expect(leftOf(edited(scenario, waterFailed(problem, failure(0), 400, 400)))).toMatchObject({
      fills: [],
      unmet: [0, 0, 2 * 65],
    });
  });

  it('of another source are nobody else', () => {
    const others = waterFailure(problem, done, filled(400), 'RO-B', 0, 400);
    expect(others).toMatchObject({ fills: [], tests: [] });
  });
});
