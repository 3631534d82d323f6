import { describe, expect, test } from 'vitest';
import { readCell } from '../../src/grid/cells.ts';
import { pointed, quantity } from '../../src/grid/formula.ts';
import { alsoAs, readAmount, unitQuestion } from '../../src/grid/readIon.ts';
import { dayFirst, readClockTime, readLocalTime } from '../../src/grid/readTime.ts';
import { sheetOf } from '../../src/grid/sheets.ts';
import { looksLike, tidy } from '../../src/scenario/tidy.ts';
import { invented } from '../browser/scenario.ts';

// Mon, Feb 3, 2031, 10:30.
const now = '2031-02-03T10:30';
const read = (text: string, locale = 'en-US', past = false) =>
  readLocalTime(text, { now, locale, past })?.value ?? null;

describe('dates and times as people write them', () => {
  test.each([
    ['2031-02-05 07:00', '2031-02-05T07:00'],
    ['2/5 7:00 pm', '2031-02-05T19:00'],
    ['11/30 7:00 pm', '2031-11-30T19:00'],
    ['2/5/31 7pm', '2031-02-05T19:00'],
    ['30.11. 19:00', '2031-11-30T19:00'],
    ['5.2.2031 19:00', '2031-02-05T19:00'],
    ['Feb 5, 7:00 pm', '2031-02-05T19:00'],
    ['Wed, Feb 5, 07:00', '2031-02-05T07:00'],
    ['5 Feb 2031 19:00', '2031-02-05T19:00'],
    ['5 February', '2031-02-05T00:00'],
    ['Wed 14:00', '2031-02-05T14:00'],
    // What lies behind in this year's dates is next year's.
    ['Jan 2 06:00', '2032-01-02T06:00'],
    ['2/3 07:00', '2031-02-03T07:00'],
  ])('%s', (text, wanted) => {
    expect(read(text)).toBe(wanted);
  });
  test('a locale with the day first reads 5/2 as 5 February', () => {
    expect([dayFirst('en-US'), dayFirst('en-GB'), dayFirst('de-DE')]).toEqual([false, true, true]);
    expect([read('5/2 07:00', 'en-GB'), read('5/2 07:00', 'en-US')]).toEqual([
      '2031-02-05T07:00',
      '2031-05-02T07:00',
    ]);
    expect(read('25/2 07:00', 'en-US')).toBe('2031-02-25T07:00');
  });
  test('a time without a date is the next such time from now; for what lies behind, the last one', () => {
    expect([read('14:00'), read('10:30'), read('7:00'), read('7 am')]).toEqual([
      '2031-02-03T14:00',
      '2031-02-03T10:30',
      '2031-02-04T07:00',
      '2031-02-04T07:00',
    ]);
    expect([read('14:00', 'en-US', true), read('7:00', 'en-US', true)]).toEqual([
      '2031-02-02T14:00',
      '2031-02-03T07:00',
    ]);
  });
  test('what is left out, or could be read otherwise, is shown back', () => {
    const guessed = (text: string) => readLocalTime(text, { now, locale: 'en-US' })!.guessed;
    expect(['14:00', '2/5/2031 07:00', 'Feb 5 07:00'].map(guessed)).toEqual([true, true, true]);
    expect(['2/25/2031 07:00', 'Feb 5, 2031 07:00', '2031-02-05 07:00'].map(guessed)).toEqual([
      false,
      false,
      false,
    ]);
  });
  test.each(['Tue, Feb 5, 07:00', '2/30 07:00', '31.11. 19:00', '25:00', '7', 'tomorrow', 'now', '', '1/45'])(
    'no date: %s',
    (text) => {
      expect(read(text)).toBeNull();
    },
  );
  test('times of day', () => {
    const of = ['07:00', '7:05 pm', '12 am', '12:30 p.m.', '19.30 h', '6h', '13 pm', '7', '24:00'];
    expect(of.map(readClockTime)).toEqual([
      '07:00',
      '19:05',
      '00:00',
      '12:30',
      '19:30',
      '06:00',
      null,
      null,
      null,
    ]);
  });
});

describe('numbers', () => {
  test('a decimal comma counts where the locale has one', () => {
    expect([pointed('2,5', 'de-DE'), pointed('1.234,5 mL', 'de-DE'), pointed('2,5', 'en-US')]).toEqual([
      '2.5',
      '1234.5 mL',
      '2,5',
    ]);
    expect(quantity('2,5', 'L', 'de-DE')).toEqual({ value: 2.5 });
    expect(quantity('2,5', 'L', 'en-US')).toHaveProperty('problem');
  });
  test('a quantity whose units cancel is no plain number', () => {
    for (const [text, unit] of [
      ['24 h/day', 'h'],
      ['24 h/day', undefined],
      ['160 kg / 2 kg', undefined],
    ] as const)
      expect(quantity(text, unit)).toMatchObject({ problem: expect.stringContaining('units cancel') });
    expect(quantity('1/45')).toEqual({ value: 0.0222222222222 });
  });
  test('hours a day are hours, however they are written', () => {
    const field = sheetOf('patients').fields.find(({ key }) => key === 'hoursPerDay')!;
    const hours = (text: string) => readCell(field, text, invented(1, 1)).value;
    expect(
      ['24 h/day', '22 h/d', '22 hours per day', '20 hrs/day', '22', '22 h', '1320 min'].map(hours),
    ).toEqual([24, 22, 22, 20, 22, 22, 22]);
  });
});

test('a bath is chosen by its potassium alone where one has it; else it is asked, or said that none has', () => {
  const week = invented(1, 1);
  const two = { ...week, baths: [...week.baths, { id: '3K low', potassium: 3 }] };
  const field = sheetOf('patients').fields.find(({ key }) => key === 'bath')!;
  const bath = (text: string, of = week) => readCell(field, text, of);
  for (const text of ['3', '3 mmol/L', '3 mEq/L', '3.0'])
    expect(bath(text)).toEqual({ value: '3K', guessed: true });
  expect(bath('3K')).toEqual({ value: '3K' });
  expect(bath('3', two).problem).toBe('one of the baths with potassium of 3 mmol/L: 3K, 3K low');
  expect(bath('5').problem).toBe('a bath with potassium of 5 mmol/L; none is listed');
});

// 1.25 mmol/L Ca = 2.5 mEq/L; 140 mEq/L Na = 140 mmol/L; 100 mg/dL = 5.551 mmol/L: charge 2 of Ca and Mg, and the
// factor 0.05551 of BMC Nephrol 2023;24, DOI 10.1186/s12882-023-03260-9, Table 1, footnote 2.
describe('amounts on a label, by ion', () => {
  const baths = sheetOf('baths');
  const typed = (key: string, text: string) =>
    readCell(baths.fields.find((field) => field.key === key)!, text, invented(1, 1));
  test.each([
    ['calcium', '1.25 mmol/L', 2.5],
    ['calcium', '2.5 mEq/L', 2.5],
    ['calcium', '2.5', 2.5],
    ['magnesium', '0.5 mmol/L', 1],
    ['sodium', '140 mEq/L', 140],
    ['potassium', '4 meq/l', 4],
    ['chloride', '108 mEq per L', 108],
    ['bicarbonate', '32 mEq/L', 32],
    ['glucose', '100 mg/dL', 5.551],
    ['glucose', '5.55 mmol/L', 5.55],
  ])('%s %s', (key, text, value) => {
    expect(typed(key, text)).toMatchObject({ value });
    expect(typed(key, text).problem).toBeUndefined();
  });
  test('a bare number that is usual in the other unit alone is asked about, and not taken', () => {
    expect(typed('calcium', '1.25')).toEqual({
      value: '1.25',
      problem: "type its unit: '1.25 mmol/L' is 2.5 mEq/L, '1.25 mEq/L' is unusual",
    });
    expect(typed('magnesium', '0.5').problem).toContain("'0.5 mmol/L' is 1 mEq/L");
    expect(typed('glucose', '100').problem).toContain("'100 mg/dL' is 5.551 mmol/L");
    expect(['0', '2.5', '3'].map((text) => typed('calcium', text).problem)).toEqual([
      undefined,
      undefined,
      undefined,
    ]);
    expect(unitQuestion('potassium', 2)).toBeNull();
  });
  test('a unit that the ion does not come in is refused', () => {
    expect(readAmount('glucose', '5 mEq/L')).toEqual({ problem: 'expected mmol/L or mg/dL, not mEq/L' });
    expect(readAmount('sodium', '140 mg/dL')).toEqual({ problem: 'expected mmol/L or mEq/L, not mg/dL' });
  });
  test('both units are shown', () => {
    expect([alsoAs('calcium', 2.5), alsoAs('glucose', 5.551), alsoAs('sodium', 140)]).toEqual([
      '1.25 mmol/L',
      '100 mg/dL',
      '',
    ]);
  });
});

describe('look-alikes', () => {
  test('wide, Cyrillic and Greek twins, blanks and control characters are put right', () => {
    expect(['４Ｋ', '4К', ' 4K ', '4\u200bK', 'bed\u00a0 01', '4Κ'].map(tidy)).toEqual([
      '4K',
      '4K',
      '4K',
      '4K',
      'bed 01',
      '4K',
    ]);
    expect(tidy('койка-1')).toBe('койка-1');
  });
  test('names that differ by case or blanks alone look alike', () => {
    expect([
      looksLike('4k', '4K'),
      looksLike('bed 1', 'bed-1'),
      looksLike('4K', '4K'),
      looksLike('3K', '4K'),
    ]).toEqual([true, true, false, false]);
  });
});
