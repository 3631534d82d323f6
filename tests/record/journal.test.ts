import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Draft } from '../../src/record/entries.ts';
import { sha256Of } from '../../src/record/hash.ts';
import {
  idsTwice,
  isGrave,
  journalFaultText,
  lineOf,
  NO_LINE,
  readJournal,
} from '../../src/record/journal.ts';
import { at } from '../world.ts';

const draft = (minute: number): Draft => ({
  kind: 'note',
  at: at(minute),
  by: 'AB',
  text: `minute ${minute} µ`,
});
/** A file of so many notes. */
function file(count: number, station = 'icu-desk'): string[] {
  const lines: string[] = [];
  let last = { n: 0, hash: NO_LINE };
  for (let n = 1; n <= count; n++) {
    const line = lineOf(draft(n), station, `2031-02-03T00:${String(n).padStart(2, '0')}:00Z`, last);
    lines.push(line);
    last = { n, hash: sha256Of(line) };
  }
  return lines;
}
const text = (lines: readonly string[]) => lines.map((line) => `${line}\n`).join('');
const read = (lines: readonly string[], name = 'icu-desk.jsonl') => readJournal(name, text(lines));

test("SHA-256 as node computes it, and of the standard's example", () => {
  // FIPS 180-4, example: 'abc'.
  expect(sha256Of('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme' }), (any) => {
      expect(sha256Of(any)).toBe(createHash('sha256').update(any, 'utf8').digest('hex'));
    }),
  );
});

describe("a station's file", () => {
  test('is read as it was written, also in pieces', () => {
    const lines = file(5);
    const whole = read(lines);
    expect(whole).toMatchObject({
      station: 'icu-desk',
      faults: [],
      last: { n: 5, hash: sha256Of(lines[4]!) },
    });
    expect(whole.noted.map(({ entry, line }) => [entry.id, entry.n, line])).toEqual(
      [1, 2, 3, 4, 5].map((n) => [`icu-desk/${n}`, n, n]),
    );
    const first = read(lines.slice(0, 2));
    const rest = readJournal('icu-desk.jsonl', text(lines.slice(2)), { line: 3, last: first.last });
    expect(rest).toMatchObject({ faults: [], last: whole.last });
    expect([...first.noted, ...rest.noted]).toEqual(whole.noted);
  });
  test('a last line that was cut off, at any byte, is set aside and said; the rest stands', () => {
    const lines = file(3);
    const whole = text(lines);
    const standsTo = text(lines.slice(0, 2)).length;
    for (let cut = standsTo + 1; cut < whole.length; cut += 7) {
      const journal = readJournal('icu-desk.jsonl', whole.slice(0, cut));
      expect(journal.noted).toHaveLength(2);
      expect(journal.stands).toBe(standsTo);
      expect(journal.faults.map(({ kind, line }) => [kind, line])).toEqual([['cut off', 3]]);
      expect(journal.faults.some(isGrave)).toBe(false);
    }
  });
  test.each([
    ['changed', (lines: string[]) => lines.with(1, lines[1]!.replace('minute 2', 'minute 7')), 3],
    ['missing', (lines: string[]) => lines.toSpliced(1, 1), 2],
    ['missing', (lines: string[]) => lines.slice(1), 1],
    ['unreadable', (lines: string[]) => lines.with(1, 'not an entry'), 2],
    ['unreadable', (lines: string[]) => lines.with(1, lines[1]!.replace('"note"', '"nope"')), 2],
    ['unreadable', (lines: string[]) => lines.with(1, lines[1]!.slice(0, 40)), 2],
    ['twice', (lines: string[]) => lines.toSpliced(2, 0, lines[1]!), 3],
  ])('a line %s is told with its file and line, what is wrong and what is right', (kind, spoil, line) => {
    const { faults, noted } = read(spoil(file(4)));
    expect(faults[0]).toMatchObject({ kind, line, file: 'icu-desk.jsonl' });
    expect(isGrave(faults[0]!)).toBe(true);
    expect(journalFaultText(faults[0]!)).toMatch(/^icu-desk\.jsonl, line \d: .+\. Expected: .+\.$/);
    expect(noted.length).toBeGreaterThanOrEqual(3);
  });
  test('any change of one letter is told', () => {
    const lines = file(4);
    const whole = text(lines);
    fc.assert(
      fc.property(fc.integer({ min: 0, max: text(lines.slice(0, 3)).length - 1 }), (index) => {
        const other = whole[index] === '0' ? '1' : '0';
        const { faults } = readJournal(
          'icu-desk.jsonl',
          whole.slice(0, index) + other + whole.slice(index + 1),
        );
        expect(faults.length).toBeGreaterThan(0);
      }),
    );
  });
  test('a time that is none, or a field that is missing, is told with its path', () => {
    const [line] = file(1);
    const told = (spoil: (entry: Record<string, unknown>) => void) => {
      const entry = JSON.parse(line!);
      spoil(entry);
      return read([JSON.stringify(entry)]).faults[0]!.wrong;
    };
    expect(told((entry) => (entry.at = '2031-02-30T07:00'))).toMatch(/at: .*local date and time/);
    expect(told((entry) => (entry.noted = 'yesterday'))).toMatch(/noted: .*UTC/);
    expect(told((entry) => delete entry.text)).toMatch(/text: /);
  });
});

describe('two stations with one name', () => {
  test('in one file: numbers that do not go on are told', () => {
    const lines = file(3);
    const other = lineOf(draft(9), 'icu-desk', '2031-02-03T00:09:00Z', { n: 2, hash: sha256Of(lines[1]!) });
    expect(read([...lines, other]).faults).toMatchObject([{ kind: 'twice', line: 4 }]);
  });
  test('in two files: one id with other words is told, a mere copy is told by its name', () => {
    const copied = read(file(2), 'icu-desk (copy).jsonl');
    expect(copied.faults.map(({ kind }) => kind)).toEqual(['twice', 'twice']);
    const other = readJournal(
      'other/icu-desk.jsonl',
      `${lineOf(draft(9), 'icu-desk', '2031-02-03T00:09:00Z', { n: 0, hash: NO_LINE })}\n`,
    );
    expect(idsTwice([...read(file(2)).noted, ...other.noted])).toMatchObject([{ kind: 'twice', line: 1 }]);
    expect(idsTwice([...read(file(2)).noted, ...read(file(2)).noted])).toEqual([]);
  });
});
