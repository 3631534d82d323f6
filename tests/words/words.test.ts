import { expect, test } from 'vitest';
import { makeClock } from '../../src/calendar/clock.ts';
import { newScenario } from '../../src/grid/newScenario.ts';
import { faultsOf } from '../../src/scenario/faults/faults.ts';
import {
  TAKEN_LETTERS,
  WORK,
  workCount,
  workOrder,
  workText,
  workTitle,
} from '../../src/words/activities.ts';
import { CAUTION } from '../../src/words/cautions.ts';
import { countText, dayNumber, lengthText, listText, numberText, plural } from '../../src/words/numbers.ts';
import { machineText, waterText } from '../../src/words/places.ts';
import {
  clockChangeTexts,
  dateText,
  fileStem,
  lotText,
  roundHead,
  roundText,
  shortDateText,
  spanText,
  timeText,
  whenText,
} from '../../src/words/times.ts';
import { checkText, proofText, unmetProofText } from '../../src/words/verdict.ts';

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

test('times are written as the locale writes them, on a 24-hour clock', () => {
  const clock = makeClock('UTC', '2031-02-03T07:00');
  expect(whenText(clock, 0)).toBe('Mon, Feb 3, 07:00');
  expect(whenText(clock, 720, true)).toBe('Mon, Feb 3, 2031, 19:00');
  expect(dateText('2031-02-03')).toBe('Mon, Feb 3');
  expect(shortDateText('2031-02-03')).toBe('Mon 3');
  // As CLDR's patterns for these locales have them.
  expect(whenText(clock, 720, false, 'de-DE')).toBe('Mo., 3. Feb., 19:00');
  expect(timeText(clock, 1020, 'en-US')).toBe('00:00');
  expect(dateText('2031-02-03', true, 'fa-IR')).toMatch(/2031/);
  expect([numberText(1234.56), numberText(1234.56, 1, 'de-DE')]).toEqual(['1,234.6', '1.234,6']);
});

test('the second time that a clock change repeats says so, and each change of a time is told', () => {
  // Chicago: to UTC-6 on 3 November 2030 at 02:00, to UTC-5 on 9 March 2031 at 02:00 (IANA time zone database: first
  // Sunday of November, second Sunday of March).
  const fall = makeClock('America/Chicago', '2030-11-03T00:00');
  expect([90, 150, 180].map((minute) => timeText(fall, minute))).toEqual([
    '01:30',
    '01:30 (second time)',
    '02:00',
  ]);
  expect(whenText(fall, 119)).toBe('Sun, Nov 3, 01:59');
  expect(spanText(fall, 74, 178)).toBe('Sun, Nov 3, 01:14 to 01:58 (second time)');
  expect(clockChangeTexts(fall, 0, 1440)).toEqual([
    'On Sun, Nov 3 the clocks go back 60 min: 01:00 to 01:59 come twice. The second pass is marked "second time".',
  ]);
  const spring = makeClock('America/Chicago', '2031-03-07T07:00');
  expect(clockChangeTexts(spring, 0, 3 * 1440)).toEqual([
    'On Sun, Mar 9 the clocks go forward 60 min: 03:00 follows 01:59 at once.',
  ]);
  expect(clockChangeTexts(makeClock('UTC', '2030-11-03T00:00'), 0, 1440)).toEqual([]);
});

test("lotText parts a fill's machine, day and time, and leaves what was typed", () => {
  expect(lotText({ id: 'Theta 2031-02-03T08:45', origin: 'fill' })).toBe('Theta 2031-02-03 08:45');
  expect(lotText({ id: 'LOT-T7T12:30', origin: 'stock' })).toBe('LOT-T7T12:30');
});

test('numbers, lengths and lists', () => {
  expect([plural(1, 'is', 'are'), plural(1.04, 'bag'), plural(0, 'bag')]).toEqual(['is', 'bag', 'bags']);
  expect([lengthText(45), lengthText(65), lengthText(1500)]).toEqual(['45 min', '1 h 05 min', '1 d 1 h']);
  // A supply that ends 4.9 days after the start is gone on the fifth day, not on the sixth.
  expect([dayNumber(0), dayNumber(4.2), dayNumber(4.9)]).toEqual(['day 1', 'day 5', 'day 5']);
  expect([listText(['a']), listText(['a', 'b', 'c']), listText(['a', 'b'], 'or')]).toEqual([
    'a',
    'a, b and c',
    'a or b',
  ]);
});

test('one table names what is done', () => {
  expect(workText({ kind: 'fill', machine: 'M1', bath: '2K' })).toBe('fill of 2K on M1');
  expect(workTitle({ kind: 'test', water: 'Loop 1' })).toBe('Total chlorine test of Loop 1');
  expect(workText({ kind: 'swap', machine: 'M1' })).toBe('bag swap on M1');
  expect(workOrder({ kind: 'bath', machine: 'M2', bath: '3K' })).toBe('M2: Change the bath to 3K');
  expect(workOrder({ kind: 'test', water: 'Loop 1' })).toBe('Loop 1: Test total chlorine');
  expect(workTitle({ kind: 'swap', machine: 'M1' }, '2K')).toBe('Bag swap of 2K on M1');
  expect(workTitle({ kind: 'duty', duty: 'break' })).toBe('Break');
  expect([workCount(1, 'bath'), workCount(2, 'duty')]).toEqual(['1 bath change', '2 duties']);
  const marks = Object.values(WORK).flatMap(({ mark }) => (mark ? [mark] : []));
  expect(new Set(marks).size).toBe(marks.length);
  expect([...TAKEN_LETTERS].sort()).toEqual(['A', 'B', 'C', 'D', 'S', 'T']);
});

test('places say what they are once', () => {
  expect([machineText('M1'), machineText('Machine 1')]).toEqual(['Machine M1', 'Machine 1']);
  expect([waterText('RO-A'), waterText('Water 2')]).toEqual(['Water source RO-A', 'Water 2']);
});

test('rounds', () => {
  const clock = makeClock('UTC', '2031-02-03T07:00');
  expect([roundHead(clock, { round: 0, at: 0 }), roundHead(clock, { round: 2, at: 660 })]).toEqual([
    'Opening round',
    'Mon, Feb 3, 18:00',
  ]);
  expect([roundText(clock, { round: 0, at: 0 }), roundText(clock, { round: 2, at: 660 })]).toEqual([
    'the opening round',
    'the bag round of Mon, Feb 3, 18:00',
  ]);
});

test('the long caution begins with the short one', () => {
  expect(CAUTION.long.startsWith(CAUTION.short)).toBe(true);
  expect(CAUTION.short).toMatch(/Not sterile.*Never infuse/);
});

test('a plan that breaks a rule is never said to pass', () => {
  expect(checkText(23, 0)).toBe('Plan check passed: 23 rules');
  expect(checkText(23, 1)).toBe('DO NOT USE THIS PLAN: the plan check found 1 broken rule');
});

test('the proof in one line, and none where nothing is proven', () => {
  expect(proofText(44.4 * 60, 43 * 60)).toBe(
    'Proven: no plan needs less than 43 h (this one: 44.4 h, +3.3 %).',
  );
  expect(proofText(60, 60)).toBe('Proven: no plan needs less than 1 h (this one: 1 h).');
  expect(proofText(60, null)).toBe('The least hands-on work is not proven yet.');
  expect(unmetProofText(0, 0)).toBe('');
  expect(unmetProofText(13, 6.5)).toBe('Proven: no plan leaves less than 6.5 L unmet (this one: 13 L).');
});
