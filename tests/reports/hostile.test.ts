import fc from 'fast-check';
import { strToU8, zipSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { fromClipboard, toClipboard } from '../../src/grid/clipboard.ts';
import { fromCsv, guarded, toCsv, unguarded } from '../../src/grid/csv.ts';
import { isPlainNumber, quantity } from '../../src/grid/formula.ts';
import { oneLine, toCalendar } from '../../src/reports/calendarFile.ts';
import { fromXlsx, toXlsx } from '../../src/reports/workbook.ts';
import { MOST, withinLimits } from '../../src/reports/workbookLimits.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { tinyWorld } from '../world.ts';

// Files and texts that somebody made to do harm. What they may hold is counted before any work of that size is done.
const sheet = (inside: string, head = '') =>
  `<?xml version="1.0" encoding="UTF-8"?>${head}<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">${inside}</worksheet>`;
const book = (xml: string, more: Record<string, Uint8Array> = {}) =>
  zipSync({
    '[Content_Types].xml': strToU8('<Types/>'),
    'xl/workbook.xml': strToU8('<workbook/>'),
    'xl/worksheets/sheet1.xml': strToU8(xml),
    ...more,
  });

describe('workbooks', () => {
  test.each([
    // ECMA-376: 1,048,576 rows and 16,384 columns (XFD) are what a sheet may have; a table of that size is 17e9 cells.
    ['one cell far out', '<sheetData><row r="1"><c r="XFD1048576"/></row></sheetData>'],
    ['a dimension far out', '<dimension ref="A1:XFD1048576"/>'],
    ['in single quotes', "<sheetData><row r='1'><c r = 'XFD1'/></row></sheetData>"],
    ['behind another attribute', '<sheetData><row><c t=">" r="A1048576"/></row></sheetData>'],
    ['a row far out', '<sheetData><row r="1048576"/></sheetData>'],
  ])('%s: refused before a table is made', async (_what, inside) => {
    await expect(fromXlsx(book(sheet(inside)))).rejects.toThrow(
      /has a cell at .* Expected: at most 20000 rows/,
    );
  });
  test.each([
    ['letters written as numbers', sheet('<c r="&#88;FD1"/>'), /hides where/],
    ['entities', sheet('', '<!DOCTYPE x [<!ENTITY a "aaaa">]>'), /declares entities/],
    ['no workbook at all', null, /no workbook|invalid/],
  ])('%s: refused', async (_what, xml, words) => {
    const bytes = xml === null ? strToU8('PK not a workbook') : book(xml);
    await expect(fromXlsx(bytes)).rejects.toThrow(words);
  });
  test('UTF-16, in which the look for cells would see nothing: refused', () => {
    const text = sheet('<c r="XFD1"/>');
    const bytes = new Uint8Array(text.length * 2 + 2);
    bytes.set([0xff, 0xfe]);
    for (let at = 0; at < text.length; at++) bytes[2 * at + 2] = text.charCodeAt(at);
    expect(() => withinLimits(book('', { 'xl/worksheets/sheet2.xml': bytes }))).toThrow(/not UTF-8/);
  });
  test('a bomb of zeros is given up when what it unpacks to is too much, whatever its head says', () => {
    const bomb = zipSync(
      { 'xl/worksheets/sheet1.xml': new Uint8Array(MOST.unpacked + 1_000_000) },
      { level: 9 },
    );
    expect(bomb.length).toBeLessThan(200_000);
    expect(() => withinLimits(bomb)).toThrow(/unpacks to more than 60 MB/);
    // The size in the central directory and in the local head, made small.
    const lie = bomb.slice();
    const view = new DataView(lie.buffer);
    for (let at = 0; at + 4 <= lie.length; at++) {
      const mark = view.getUint32(at, true);
      if (mark === 0x04034b50) view.setUint32(at + 22, 100, true);
      if (mark === 0x02014b50) view.setUint32(at + 24, 100, true);
    }
    expect(() => withinLimits(lie)).toThrow(/unpacks to more than 60 MB/);
  });
  test('a workbook of a scenario passes, and is read the same', async () => {
    const table = [
      ['Bed', 'Weight (kg)'],
      ['bed-04', 82.5],
      ['é <&> "x"', null],
    ];
    const bytes = await toXlsx([{ name: 'Patients', table }]);
    expect(await fromXlsx(bytes)).toEqual([{ name: 'Patients', table }]);
  });
});

describe('typed and pasted', () => {
  test('a row of 80,000 digits, and one that ends wrongly, is answered at once', () => {
    const digits = '7'.repeat(80_000);
    for (const text of [digits, `${digits}x`, `${'7'.repeat(150)}x`, `1${'.'.repeat(80_000)}`]) {
      expect(isPlainNumber(text)).toBe(false);
      expect(quantity(text, 'kg')).toHaveProperty('problem');
    }
    expect(isPlainNumber('7'.repeat(150))).toBe(true);
    expect(quantity('82.', 'kg')).toEqual({ value: 82 });
    expect(quantity('.5', 'kg')).toEqual({ value: 0.5 });
  });
  test('130,000 rows are read', () => {
    const rows = fromClipboard('1\t2\r\n'.repeat(130_000));
    expect([rows.length, rows.at(-1)]).toEqual([130_000, ['1', '2']]);
  });
  test('80,000 tabs are guarded at once', () => {
    expect(guarded('\t'.repeat(80_000))).toHaveLength(80_001);
  });
});

describe('text that a spreadsheet would run', () => {
  test.each([
    '=1+1',
    '+A1',
    '-1+2',
    '@SUM(A1)',
    '\t=1',
    'x;=1+1',
    'x; "=1+1',
    'a|-1',
    'a\n=1',
    "'=1",
    "x;'=1",
  ])('%j is no formula in a file or a copied cell, in no locale, and comes back as it was', (text) => {
    const csv = toCsv([
      ['Bed', 'x'],
      [text, 1],
    ]);
    // Whatever ends a cell: what follows begins with a guard, never with a sign that runs it.
    for (const separator of [',', ';', '|', '\t', '\n'])
      for (const cell of csv.split(separator)) expect(cell.replace(/^[\s"]*/, '')).not.toMatch(/^[=+@-]/);
    expect(fromCsv(csv)[1]).toEqual([text, '1']);
    const copied = toClipboard([[text, 'x']]);
    expect(copied.replace(/^"/, '')).not.toMatch(/^[=+@-]/);
    expect(fromClipboard(copied)).toEqual([[text, 'x']]);
  });
  test('a cell with the separator of another locale is quoted; numbers stay numbers', () => {
    expect(toCsv([['x;y', -5]])).toBe('\ufeff"x;y",-5\r\n');
    expect(toClipboard([['-5', 'x']])).toBe('-5\tx');
  });
  test('any text comes back', () => {
    const signs = fc.string({ unit: fc.constantFrom(...'=+-@;|,\t\r\n"\' a1'), maxLength: 12 });
    fc.assert(
      fc.property(signs, (text) => {
        expect(unguarded(guarded(text))).toBe(text);
      }),
      { numRuns: 2_000 },
    );
  });
});

test('a title is one line in a calendar, whatever it holds', () => {
  for (const end of ['\r\n', '\n', '\r', '\u2028', '\u2029', '\u0085', '\v', '\0'])
    expect(oneLine(`Week${end}BEGIN:VEVENT`)).toBe('Week BEGIN:VEVENT');
  const event = 'Week\r\nBEGIN:VEVENT\r\nSUMMARY:Fill 99\r\nEND:VEVENT';
  const problem = compile(tinyWorld({ title: event }));
  const calendar = toCalendar(problem, [], 0, 1440, 0);
  expect(calendar.replaceAll('\r\n ', '').split(/[\r\n\u2028\u2029\u0085]+/)).not.toContain('BEGIN:VEVENT');
  expect(oneLine('half \ud800 a pair')).toBe('half \ufffd a pair');
});
