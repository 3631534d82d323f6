import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { makeClock } from '../../src/calendar/clock.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { shiftBands } from '../../src/scenario/problem/shifts.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { generate } from '../bench/generate.ts';

const bands = (
  shift: Partial<Scenario['shifts'][number]>,
  start = '2031-02-03T07:00',
  timeZone = 'UTC',
  days = 1,
) =>
  shiftBands(
    [{ id: 's', from: '07:00', to: '19:00', technicians: 1, ...shift }],
    makeClock(timeZone, start),
    days * 1440,
  ).map(({ from, to }) => [from, to]);

describe('shifts', () => {
  it('run past midnight when they end no later than they begin, the one begun the evening before too', () => {
    expect(bands({ from: '19:00', to: '07:30' })).toEqual([
      [-720, 30],
      [720, 1470],
    ]);
  });
  it('of equal times last until that time on the next day', () => {
    expect(bands({ from: '07:00', to: '07:00' })).toEqual([[0, 1440]]);
    expect(bands({ from: '08:00', to: '08:00' })).toEqual([
      [-1380, 60],
      [60, 1500],
    ]);
  });
  it('belong to the date on which they begin', () => {
    expect(bands({ from: '19:00', to: '07:00', dates: ['2031-02-02'] }, '2031-02-03T06:00')).toEqual([
      [-660, 60],
    ]);
    expect(bands({ from: '19:00', to: '07:00', dates: ['2031-02-03'] }, '2031-02-03T06:00')).toEqual([
      [780, 1500],
    ]);
  });
  it('last as long as the clocks make them', () => {
    // Chicago, night to 9 March 2031: 11 h; night to 2 November 2031: 13 h.
    expect(bands({ from: '19:00', to: '07:00' }, '2031-03-08T19:00', 'America/Chicago')[0]).toEqual([
      0,
      11 * 60,
    ]);
    expect(bands({ from: '19:00', to: '07:00' }, '2031-11-01T19:00', 'America/Chicago')[0]).toEqual([
      0,
      13 * 60,
    ]);
  });
  it('of 25 h begun more than a day before the start are still seen', () => {
    // 23:45 to 23:45 over the night of the change; the plan starts at 23:30, 24 h 45 min after the shift began.
    expect(bands({ from: '23:45', to: '23:45' }, '2031-11-02T23:30', 'America/Chicago')[0]).toEqual([
      -1485, 15,
    ]);
  });

  it('add up, minute by minute, as a walk with luxon counts them', () => {
    for (const timeZone of ['America/Chicago', 'Europe/Berlin', 'Australia/Lord_Howe'] as const) {
      const scenario = generate({ seed: 5, kind: 'tiny', days: 3, timeZone });
      scenario.shifts = [
        { id: 'day', from: '07:00', to: '19:00', technicians: 2 },
        { id: 'night', from: '19:00', to: '07:00', technicians: 1 },
        { id: 'early', from: '00:30', to: '03:30', technicians: 1 },
        { id: 'once', from: '22:00', to: '04:00', technicians: 3, dates: [scenario.start.slice(0, 10)] },
      ];
      const { staff } = compile(scenario);
      const zero = DateTime.fromISO(scenario.start, { zone: timeZone });
      const counted = new Array<number>(staff.length).fill(0);
      for (let day = -2; day <= 4; day++)
        for (const { from, to, technicians, dates } of scenario.shifts) {
          const date = zero.startOf('day').plus({ days: day });
          if (dates && !dates.includes(date.toISODate()!)) continue;
          const on = (when: DateTime, time: string) =>
            Math.round(
              DateTime.fromISO(`${when.toISODate()}T${time}`, { zone: timeZone }).diff(zero).as('minutes'),
            );
          const end = on(to > from ? date : date.plus({ days: 1 }), to);
          for (let t = Math.max(0, on(date, from)); t < Math.min(end, staff.length); t++)
            counted[t]! += technicians;
        }
      expect([...staff], timeZone).toEqual(counted);
    }
  });
});
