import { describe, expect, test } from 'vitest';
import { meanOfDay } from '../../src/capacity/forecast/arrivals.ts';
import { specOf } from '../../src/capacity/forecast/forecast.ts';
import { cellText, editText } from '../../src/grid/cells.ts';
import { fromClipboard, oneList } from '../../src/grid/clipboard.ts';
import { setCells } from '../../src/grid/edits.ts';
import { actualField } from '../../src/grid/forms.ts';
import { commit, NO_HISTORY, undo } from '../../src/grid/history.ts';
import { sheetOf } from '../../src/grid/sheets.ts';
import { placeOfPath, typedFaults } from '../../src/grid/where.ts';
import { enoughText } from '../../src/reports/capacityWords.ts';
import { faultsOf } from '../../src/scenario/faults/faults.ts';
import { readScenario, shapeFaults, writeScenario } from '../../src/scenario/read.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { tinyWorld } from '../world.ts';

const sheet = sheetOf('forecast');
const value = sheet.fields.find(({ key }) => key === 'value')!;
const rowOf = (scenario: Scenario, path: string) =>
  sheet.rows(scenario).find(({ key }) => key === `forecast.${path}`)!;
const typed = (scenario: Scenario, path: string, text: string) =>
  commit(
    { scenario, history: NO_HISTORY },
    'test',
    setCells(sheet, [{ row: rowOf(scenario, path), field: value, text }]),
  );
const filled = (scenario: Scenario, ...acts: readonly (readonly [path: string, text: string])[]): Scenario =>
  acts.reduce((before, [path, text]) => typed(before, path, text).scenario, scenario);
const shown = (scenario: Scenario, path: string): string => {
  const row = rowOf(scenario, path);
  return cellText(actualField(row, value), row, scenario);
};

describe('new patients a day', () => {
  test('one number, or one a day however it is parted; what is shown is what is edited', () => {
    expect(filled(tinyWorld(), ['startsPerDay', '2.5']).forecast).toEqual({ startsPerDay: 2.5 });
    for (const text of ['1, 2, 4, 8', '1;2;4;8', ' 1 2\t4\n8 ']) {
      const scenario = filled(tinyWorld(), ['startsPerDay', text]);
      expect(scenario.forecast).toEqual({ startsPerDay: [1, 2, 4, 8] });
      expect(shown(scenario, 'startsPerDay')).toBe('1, 2, 4, 8');
      const row = rowOf(scenario, 'startsPerDay');
      expect(editText(actualField(row, value), row, scenario)).toBe('1, 2, 4, 8');
      const read = readScenario(writeScenario(scenario));
      expect(read.ok && read.scenario.forecast).toEqual(scenario.forecast);
    }
  });

  test('a column of counts pasted on the cell becomes its list; a block of other things does not', () => {
    expect(oneList(fromClipboard('3\r\n0\r\n5\r\n'))).toBe('3, 0, 5');
    expect(oneList(fromClipboard('3\t0\t5'))).toBe('3, 0, 5');
    for (const other of ['3', '3\r\nfive', '1\t2\r\n3\t4', 'Weight\t82'])
      expect(oneList(fromClipboard(other))).toBeNull();
  });

  test('growth takes the place of a list and a list that of growth; undo brings back the one before', () => {
    const list = filled(tinyWorld(), ['startsPerDay', '1, 2']);
    const growth = filled(list, ['startsPerDay.first', '2'], ['startsPerDay.doublingDays', '7']);
    expect(growth.forecast?.startsPerDay).toEqual({ first: 2, doublingDays: 7 });
    expect(shown(growth, 'startsPerDay')).toBe('');
    expect(shown(growth, 'startsPerDay.first')).toBe('2');
    // 2 x 7 / ln 2 x (2^(1/7) - 1): the rate's integral over the first day.
    expect(specOf(growth).meanOfDay(0)).toBeCloseTo(((2 * 7) / Math.LN2) * (2 ** (1 / 7) - 1), 12);
    // The line of one value is empty then: emptying it once more takes nothing away.
    expect(filled(growth, ['startsPerDay', ''])).toEqual(growth);
    const { scenario, history } = typed(growth, 'startsPerDay', '4');
    expect(scenario.forecast?.startsPerDay).toBe(4);
    expect(undo({ scenario, history })?.scenario.forecast).toEqual(growth.forecast);
    const emptied = filled(growth, ['startsPerDay.first', ''], ['startsPerDay.doublingDays', '']);
    expect('forecast' in emptied).toBe(false);
  });

  test('half a growth names the line that is missing; words are refused where they stand', () => {
    const half = filled(tinyWorld(), ['startsPerDay.first', '2']);
    expect(shapeFaults(half)).toEqual([]);
    const [fault] = faultsOf(half).filter(({ level }) => level === 'error');
    expect(fault).toMatchObject({ path: ['forecast', 'startsPerDay', 'doublingDays'] });
    expect(placeOfPath(half, fault!.path)).toEqual({
      sheet: 'forecast',
      row: 'forecast.startsPerDay.doublingDays',
      field: 'value',
    });
    expect(meanOfDay({ first: 2 })(9)).toBe(2);
    const words = filled(tinyWorld(), ['startsPerDay', '1, two, 4']);
    expect(typedFaults(words)).toMatchObject([
      { path: ['forecast', 'startsPerDay'], hint: expect.stringMatching(/'two' is no number.*1, 2, 4\.5/) },
    ]);
    expect(shown(words, 'startsPerDay')).toBe('1, two, 4');
  });
});

test('a pasted sample of stays, also of one value', () => {
  const law = (text: string) =>
    filled(tinyWorld(), ['stayDays.law', 'sample'], ['stayDays.values', text]).forecast?.stayDays;
  expect(law('2, 9\n4.5')).toEqual({ law: 'sample', values: [2, 9, 4.5] });
  expect(law('7')).toEqual({ law: 'sample', values: [7] });
});

test('caps, and laws of fluid removal and replacement', () => {
  const { forecast } = filled(
    tinyWorld(),
    ['doseCap', '20'],
    ['hoursCap', '18'],
    ['fluidRemoval.law', 'fixed'],
    ['fluidRemoval.value', '75'],
  );
  expect(forecast).toEqual({ doseCap: 20, hoursCap: 18, fluidRemoval: { law: 'fixed', value: 75 } });
});

test('shares of baths: one step more than there is can be typed, and emptied again without a hole', () => {
  const one = filled(tinyWorld(), ['bathByDay.0.fromDay', '0'], ['bathByDay.0.share.2K', '1']);
  expect(one.forecast?.bathByDay).toEqual([{ fromDay: 0, share: { '2K': 1 } }]);
  const two = filled(one, ['bathByDay.1.fromDay', '2'], ['bathByDay.1.share.4K', '1']);
  expect(two.forecast?.bathByDay).toHaveLength(2);
  const back = filled(two, ['bathByDay.0.fromDay', ''], ['bathByDay.0.share.2K', '']);
  expect(back.forecast?.bathByDay).toEqual([{ fromDay: 2, share: { '4K': 1 } }]);
});

test('a limit is enough for whole patients only, and never for more than it allows', () => {
  expect(enoughText({ census: 12.9, bagsPerDay: 95.6 })).toBe('enough for 12 patients (95 bags per day)');
  // 8 / (8 / 3) in floating point may end just under 3.
  expect(enoughText({ census: 2.9999999999, bagsPerDay: 1234 })).toBe(
    'enough for 3 patients (1,234 bags per day)',
  );
  expect(enoughText({ census: 1.5, bagsPerDay: 11.2 })).toBe('enough for 1 patient (11 bags per day)');
});
