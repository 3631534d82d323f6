import { expect, test } from 'vitest';
import { faultsOf } from '../../src/scenario/faults.ts';
import { newScenario } from '../../src/sheets/newScenario.ts';
import { countText, fileStem } from '../../src/sheets/words.ts';

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
