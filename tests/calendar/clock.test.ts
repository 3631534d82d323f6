import fc from 'fast-check';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { isLocalTime, knowsZone, makeClock, nextDate, TIME_OF_DAY } from '../../src/calendar/clock.ts';

// Forward and back by an hour, by half an hour (Lord Howe), at midnight (Cairo), no change (Kolkata, UTC), south of the equator.
const ZONES = [
  'America/Chicago',
  'Europe/Berlin',
  'Australia/Lord_Howe',
  'Africa/Cairo',
  'Asia/Kolkata',
  'Pacific/Auckland',
  'America/St_Johns',
  'UTC',
];
const FORMAT = "yyyy-MM-dd'T'HH:mm";
const YEAR = 366 * 1440;

describe('the clock, against luxon', () => {
  for (const zone of ZONES)
    it(`agrees on local times and minutes for more than a year in ${zone}`, () => {
      const start = '2031-01-15T07:00';
      const clock = makeClock(zone, start);
      const zero = DateTime.fromISO(start, { zone });
      fc.assert(
        fc.property(fc.integer({ min: -3000, max: YEAR }), (minute) => {
          const there = zero.plus({ minutes: minute });
          expect(clock.epochOf(minute)).toBe(there.toMillis());
          expect(clock.localOf(minute)).toBe(there.toFormat(FORMAT));
          // Back again: the same minute, or the first of two.
          const first = Math.min(...there.getPossibleOffsets().map((same) => same.toMillis()));
          expect(clock.minuteOf(there.toFormat(FORMAT))).toBe((first - zero.toMillis()) / 60_000);
          expect(clock.oddity(there.toFormat(FORMAT)) === 'repeated').toBe(
            there.getPossibleOffsets().length > 1,
          );
        }),
        { numRuns: 150, seed: 20310115 },
      );
    });

  it('tells every quarter of an hour of the changes of a year: usual, skipped or repeated', () => {
    for (const zone of ZONES) {
      const clock = makeClock(zone, '2031-01-01T00:00');
      const zero = DateTime.fromISO('2031-01-01T00:00', { zone });
      const changes = Array.from({ length: 365 }, (_, day) => zero.plus({ days: day })).filter(
        (day) => day.offset !== day.plus({ days: 1 }).offset,
      );
      expect(changes).toHaveLength(zone === 'UTC' || zone === 'Asia/Kolkata' ? 0 : 2);
      for (const day of changes)
        for (let quarter = 0; quarter < 96; quarter++) {
          const local = `${day.toFormat('yyyy-MM-dd')}T${String(quarter >> 2).padStart(2, '0')}:${String((quarter % 4) * 15).padStart(2, '0')}`;
          const read = DateTime.fromISO(local, { zone });
          const skipped = read.toFormat(FORMAT) !== local;
          const twice = read.getPossibleOffsets().length > 1;
          expect(clock.oddity(local), `${zone} ${local}`).toBe(
            skipped ? 'skipped' : twice ? 'repeated' : null,
          );
          // Luxon moves a skipped time on by the gap too.
          if (skipped) expect(clock.localOf(clock.minuteOf(local))).toBe(read.toFormat(FORMAT));
        }
    }
  });
});

describe('the clock across the changes themselves', () => {
  it('a night of 22:00 to 06:00 lasts 9 h when the clocks go back, 7 h when they go forward', () => {
    // Europe/Berlin: 25 October 2026 and 29 March 2026 (EU rule: last Sundays of October and March, 01:00 UTC).
    const back = makeClock('Europe/Berlin', '2026-10-24T22:00');
    expect(back.minuteOf('2026-10-25T06:00')).toBe(9 * 60);
    const forward = makeClock('Europe/Berlin', '2026-03-28T22:00');
    expect(forward.minuteOf('2026-03-29T06:00')).toBe(7 * 60);
  });

  it('a skipped time moves on by the gap, a repeated one is its first occurrence', () => {
    const chicago = makeClock('America/Chicago', '2031-03-09T00:00');
    expect(chicago.localOf(chicago.minuteOf('2031-03-09T02:30'))).toBe('2031-03-09T03:30');
    expect(chicago.minuteOf('2031-03-09T02:30')).toBe(150);
    const howe = makeClock('Australia/Lord_Howe', '2031-04-06T00:00');
    expect(howe.minuteOf('2031-04-06T01:45')).toBe(105);
    expect(howe.localOf(105)).toBe('2031-04-06T01:45');
    expect(howe.localOf(135)).toBe('2031-04-06T01:45');
    expect(howe.oddity('2031-04-06T01:45')).toBe('repeated');
  });

  it('a start that the clocks skip or repeat is minute 0 all the same', () => {
    expect(makeClock('America/Chicago', '2031-03-09T02:30').localOf(0)).toBe('2031-03-09T03:30');
    expect(makeClock('America/Chicago', '2031-11-02T01:30').minuteOf('2031-11-02T02:00')).toBe(90);
  });

  it('lists the local dates that minutes touch', () => {
    const clock = makeClock('America/Chicago', '2031-03-08T07:00');
    expect(clock.datesOf(-480, 24 * 60)).toEqual(['2031-03-07', '2031-03-08', '2031-03-09']);
    // 17 h after 07:00 it is midnight; 23 h of the 9th later it is the 10th.
    expect(clock.datesOf(17 * 60, (17 + 23) * 60 - 1)).toEqual(['2031-03-09']);
    expect(clock.datesOf(17 * 60, (17 + 23) * 60)).toEqual(['2031-03-09', '2031-03-10']);
  });
});

describe('texts', () => {
  it('isLocalTime agrees with luxon on every day and month that could be typed', () => {
    for (const year of [2031, 2032, 2100, 2000])
      for (let month = 0; month <= 13; month++)
        for (let day = 0; day <= 32; day++) {
          const text = `${year}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}T12:00`;
          expect(isLocalTime(text), text).toBe(DateTime.fromISO(text, { zone: 'UTC' }).isValid);
        }
  });
  it('isLocalTime takes whole minutes without a zone only', () => {
    for (const text of ['2031-02-03T07:00', '2031-02-03T23:59', '2031-02-03T07:00:00'])
      expect(isLocalTime(text), text).toBe(true);
    for (const text of [
      '',
      '2031-02-03',
      '2031-02-03T7:00',
      '2031-02-03T24:00',
      '2031-02-03T07:60',
      '2031-02-03T07:00:30',
      '2031-02-03T07:00Z',
      '2031-02-03T07:00+01:00',
      '2031-02-03 07:00',
      '+02031-02-03T07:00',
    ])
      expect(isLocalTime(text), text).toBe(false);
  });
  it('times of day run from 00:00 to 23:59', () => {
    for (const text of ['00:00', '09:05', '23:59']) expect(TIME_OF_DAY.test(text), text).toBe(true);
    for (const text of ['24:00', '7:00', '07:60', '07:00:00', ''])
      expect(TIME_OF_DAY.test(text), text).toBe(false);
  });
  it('knows zones by their IANA names', () => {
    expect(ZONES.every(knowsZone)).toBe(true);
    expect(['Mars/Olympus', '', 'Chicago'].some(knowsZone)).toBe(false);
  });
  it('nextDate agrees with luxon', () => {
    for (const date of ['2031-02-28', '2032-02-28', '2031-12-31', '2031-03-09'])
      for (const days of [-400, -1, 0, 1, 2, 400])
        expect(nextDate(date, days)).toBe(DateTime.fromISO(date).plus({ days }).toISODate());
  });
});
