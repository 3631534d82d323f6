import { expect, test } from 'vitest';
import { makeClock } from '../../src/calendar/clock.ts';
import { newScenario } from '../../src/grid/newScenario.ts';
import { faultsOf } from '../../src/scenario/faults/faults.ts';
import {
  clockChangeTexts,
  countText,
  fileStem,
  lotText,
  spanText,
  timeText,
  whenText,
} from '../../src/words/times.ts';

test('fileStem has no dash at either end, and is never empty', () => {
  expect(fileStem('Surge week, north campus (invented)')).toBe('surge-week-north-campus-invented');
  expect(fileStem('  «Été» 2031 ')).toBe('été-2031');
  expect(fileStem('(…)')).toBe('scenario');
  expect(fileStem('')).toBe('scenario');
});

test('countText: one of what is shown as 1', () => {
  expect([0, 0.5, 0.96, 1, 1.04, 1.05, 2].map((value) => countText(value, 'bag'))).toEqual([
    '0 bags',
    '0.5 bags',
    '1 bag',
    '1 bag',
    '1 bag',
    '1.1 bags',
    '2 bags',
  ]);
});

test('newScenario begins when and where it is told, with no error but what is not typed yet', () => {
  const scenario = newScenario('2033-07-04T07:00', 'Europe/Berlin');
  expect([scenario.start, scenario.timeZone]).toEqual(['2033-07-04T07:00', 'Europe/Berlin']);
  expect(faultsOf(scenario).filter(({ level }) => level === 'error')).toEqual([]);
});

test('the second time that a clock change repeats says so, and each change of a time is told', () => {
  // Chicago: to UTC-6 on 3 November 2030 at 02:00, to UTC-5 on 9 March 2031 at 02:00 (IANA time zone database: first
  // Sunday of November, second Sunday of March).
  const fall = makeClock('America/Chicago', '2030-11-03T00:00');
  expect([90, 150, 180].map((minute) => timeText(fall, minute))).toEqual(['01:30', '01:30 again', '02:00']);
  expect(whenText(fall, 119)).toBe('Sun 3 Nov 01:59');
  expect(spanText(fall, 74, 178)).toBe('Sun 3 Nov 01:14 to 01:58 again');
  expect(clockChangeTexts(fall, 0, 1440)).toEqual([
    'Sun 3 Nov the clocks go back by 60 min: 01:00 to 01:59 come twice, the second time marked "again".',
  ]);
  const spring = makeClock('America/Chicago', '2031-03-07T07:00');
  expect(clockChangeTexts(spring, 0, 3 * 1440)).toEqual([
    'Sun 9 Mar the clocks go forward by 60 min: from 01:59 to 03:00 is one minute.',
  ]);
  expect(clockChangeTexts(makeClock('UTC', '2030-11-03T00:00'), 0, 1440)).toEqual([]);
});

test("lotText parts a fill's machine, day and time, and leaves what was typed", () => {
  expect(lotText({ id: 'Theta 2031-02-03T08:45', origin: 'fill' })).toBe('Theta 2031-02-03 08:45');
  expect(lotText({ id: 'LOT-T7T12:30', origin: 'stock' })).toBe('LOT-T7T12:30');
});
