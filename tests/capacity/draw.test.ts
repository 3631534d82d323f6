import { describe, expect, test } from 'vitest';
import { jobsOf, runDraws } from '../../src/capacity/answers/job.ts';
import { joined } from '../../src/capacity/answers/simulate.ts';
import { coursesOf, drawInto, emptyDraw, type Ground, groundOf } from '../../src/capacity/draws/draw.ts';
import { drawnProblem } from '../../src/capacity/draws/drawnProblem.ts';
import { bagsByDay, demandOf } from '../../src/demand/demand.ts';
import type { Forecast } from '../../src/scenario/schema.ts';
import { emptySite, frozen, wardSite } from './worlds.ts';

/** Bags of one draw counted exactly, in fractions, from its courses. */
function exact(ground: Ground, seed: number, index: number) {
  const problem = { ...ground.problem, patients: coursesOf(ground, seed, index) };
  const demand = demandOf(problem);
  return { rounds: demand.bags.flat(), days: bagsByDay(problem, demand).flat() };
}

describe('bags of a draw are those that the exact demand counts', () => {
  const odd: Forecast = {
    days: 9,
    startsPerDay: 6,
    stayDays: { law: 'gamma', mean: 4, sd: 5 },
    // Round numbers: bags end on whole minutes again and again, where a floating sum would slip.
    weight: { law: 'sample', values: [60, 64, 80, 90, 100] },
    dose: { law: 'sample', values: [20, 25, 30] },
    hoursPerDay: { law: 'sample', values: [16, 20, 24] },
    fluidRemoval: { law: 'sample', values: [0, 100] },
    bathByDay: [
      { fromDay: 0, share: { '2K': 0.5, '4K': 0.5 } },
      { fromDay: 1, share: { '2K': 0.25, '4K': 0.75 } },
      { fromDay: 3, share: { '2K': 0.75, '4K': 0.25 } },
    ],
  };
  test.each([
    ['a ward with patients listed, by stay', wardSite(), 6],
    ['as listed', wardSite({ forecast: { ...wardSite().forecast, listed: 'as listed' } }), 4],
    ['round numbers and moves between baths', emptySite(odd), 12],
    [
      'hang limit: bags are thrown away before they are empty',
      { ...emptySite({ ...odd, dose: { law: 'normal', mean: 3, sd: 2 } }), rules: { maxHangHours: 11.3 } },
      12,
    ],
    ['a crisis', frozen('crisis'), 2],
  ])('%s', (_, site, draws) => {
    const ground = groundOf(site);
    const draw = emptyDraw(ground, 1);
    for (let index = 0; index < draws; index++) {
      drawInto(ground, 3, index, draw);
      const { rounds, days } = exact(ground, 3, index);
      expect([...draw.need]).toEqual(rounds);
      expect([...draw.bagsByDay]).toEqual(days);
      expect(rounds.reduce((a, b) => a + b, 0)).toBeGreaterThan(0);
    }
  });
});

describe('published volumes', () => {
  test('2 L/h prescribed, 16.1 h a day: about 1.36 L an hour of the day (Venkataraman, Kellum. Crit Care 2001;5(Suppl):P216)', () => {
    // 24.27 mL/kg/h x 82.4 kg is 2 L/h; one patient a day for a day each, on average one under therapy.
    const ground = groundOf(
      emptySite({
        days: 60,
        startsPerDay: 5,
        stayDays: { law: 'fixed', value: 20 },
        weight: { law: 'fixed', value: 82.4 },
        dose: { law: 'fixed', value: 2000 / 82.4 },
        hoursPerDay: { law: 'fixed', value: 16.1 },
      }),
    );
    const draw = emptyDraw(ground, 1);
    let bags = 0;
    let patientDays = 0;
    for (let index = 0; index < 40; index++) {
      drawInto(ground, 1, index, draw);
      for (let day = 30; day < 60; day++) {
        bags += draw.bagsByDay[day]!;
        patientDays += (draw.census[day]! + draw.census[day - 1]!) / 2;
      }
    }
    // Bags hung less what the last one of each stay still holds: half a bag a patient, a fortieth of its bags a day.
    const litresPerHour = ((bags / patientDays - 0.5 / 20) * 6.5) / 24;
    expect(Math.abs(litresPerHour / 1.36 - 1)).toBeLessThan(0.02);
  });
});

describe('a draw depends on seed and number alone', () => {
  test('pieces of any size give the same chunk', () => {
    const site = wardSite();
    const whole = runDraws({ scenario: site, seed: 9, first: 0, count: 30, most: 6 });
    const pieces = jobsOf(site, { seed: 9, draws: 30, most: 6, piece: 7 }).reverse().map(runDraws);
    expect(joined(pieces)).toEqual(whole);
  });

  test('another seed is another draw', () => {
    const site = wardSite();
    const one = runDraws({ scenario: site, seed: 1, first: 0, count: 5, most: 1 });
    const two = runDraws({ scenario: site, seed: 2, first: 0, count: 5, most: 1 });
    const far = runDraws({ scenario: site, seed: 1 + 2 ** 40, first: 0, count: 5, most: 1 });
    expect(one.census).not.toEqual(two.census);
    expect(one.census).not.toEqual(far.census);
  });

  test('a longer forecast leaves the first days as they were', () => {
    const days = (count: number) =>
      runDraws({
        scenario: wardSite({ forecast: { ...wardSite().forecast, days: count } }),
        seed: 1,
        first: 0,
        count: 1,
        most: 1,
      });
    expect([...days(20).census.slice(0, 10)]).toEqual([...days(10).census]);
  });
});

describe('listed patients', () => {
  test('by stay: a patient with a typed end keeps it; the rest of the others’ stay is drawn', () => {
    const site = wardSite({
      forecast: { days: 6, startsPerDay: 0, listed: 'by stay', stayDays: { law: 'fixed', value: 5 } },
    });
    site.patients[0]!.until = '2031-02-05T07:00';
    const ground = groundOf(site);
    const courses = coursesOf(ground, 1, 0);
    expect(courses[0]!.until).toBe(2 * 1440);
    // Those from 30 January 12:00 have had 3 days and 19 hours of 5 days; those from now on have all five.
    expect(courses[4]!.until).toBe(5 * 1440 - (3 * 24 + 19) * 60);
    expect(courses[1]!.until).toBe(5 * 1440);
  });
});

describe('breakdowns and absence', () => {
  test('a drawn problem lacks the broken machines’ minutes and the absent technicians', () => {
    const ground = groundOf(wardSite());
    const draw = emptyDraw(ground, 6);
    let broken = 0;
    let absent = 0;
    const draws = 120;
    for (let index = 0; index < draws; index++) {
      drawInto(ground, 1, index, draw);
      const problem = drawnProblem(ground, { seed: 1, index, draw, count: 6 });
      expect(problem.machines.map(({ id }) => id)).toEqual([
        'M1',
        'M2',
        'M3',
        'M4',
        'M4 copy 1',
        'M4 copy 2',
      ]);
      for (const { windows } of problem.machines)
        broken += problem.horizon - windows.reduce((sum, { from, to }) => sum + to - from, 0);
      absent += draw.absent.reduce((sum, value) => sum + value, 0);
      const staffed = problem.shifts.reduce(
        (sum, { from, to, technicians }) =>
          sum + (Math.min(to, problem.horizon) - Math.max(0, from)) * technicians,
        0,
      );
      expect(problem.staff.reduce((sum, value) => sum + value, 0)).toBe(staffed);
    }
    // Alternating renewal from "up": share down is r/(u+r) (1 - e^{-(1/u+1/r)t}) at t, u = 30 days, r = 0.5 (textbook).
    const [u, r, days] = [30, 0.5, 14];
    const rate = 1 / u + 1 / r;
    const truth = (r / (u + r)) * (1 - (1 - Math.exp(-rate * days)) / (rate * days));
    const share = broken / (draws * 6 * days * 1440);
    expect(Math.abs(share / truth - 1)).toBeLessThan(0.2);
    const bands = ground.problem.shifts.reduce((sum, { technicians }) => sum + technicians, 0);
    expect(Math.abs(absent / (draws * bands) - 0.05)).toBeLessThan(
      4 * Math.sqrt((0.05 * 0.95) / (draws * bands)),
    );
  });
});
