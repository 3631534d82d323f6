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

describe('what a fault says', () => {
  const told = (lines: readonly string[], name?: string) =>
    read(lines, name).faults.map(({ kind, line, wrong }) => [kind, line, wrong]);
  const four = file(4);
  test('of a line that is no entry, and of what follows it', () => {
    expect(told(four.with(1, '{'))).toEqual([
      ['unreadable', 2, 'this line is no entry (not JSON)'],
      ['changed', 3, 'the line before it is not the one that was noted'],
    ]);
    // Its number counts as used, so that the lines after it are not called missing.
    expect(read(four.with(3, '{')).last.n).toBe(4);
    expect(told(four.with(3, '7'))).toEqual([
      ['unreadable', 4, expect.stringMatching(/^this line is no entry \(.*expected object/)],
    ]);
  });
  test('of an empty line before all others', () => {
    expect(told(['', ...four])).toEqual([
      ['unreadable', 1, 'this line is no entry (not JSON)'],
      ['twice', 2, 'n is 1, after 1: two computers may note under the name icu-desk'],
    ]);
  });
  test('of lines that are missing: one, several, the first', () => {
    expect(told(four.toSpliced(1, 1))).toEqual([['missing', 2, 'the line of n 2 is missing before it']]);
    expect(told(four.toSpliced(1, 2))).toEqual([
      ['missing', 2, 'the lines of n 2 to 3 are missing before it'],
    ]);
    expect(told(four.slice(1))).toEqual([['missing', 1, 'the line of n 1 is missing before it']]);
  });
  test('of a line that stands twice, or is of another station', () => {
    expect(told([four[0]!, four[1]!, four[1]!])).toEqual([
      ['twice', 3, 'n is 2, after 2: two computers may note under the name icu-desk'],
    ]);
    expect(read([four[0]!, four[1]!, four[1]!]).faults[0]!.expected).toMatch(/^n 3\. /);
    expect(told(file(1, 'ward'))).toEqual([['twice', 1, "the entry's id is ward/1"]]);
    expect(read(file(1, 'ward')).faults[0]!.expected).toMatch(/^icu-desk\/1: /);
  });
  test('of a last line without its end', () => {
    const cut = readJournal('icu-desk.jsonl', `${four[0]}\n${four[1]}`);
    expect(cut.faults).toMatchObject([
      { kind: 'cut off', line: 2, wrong: 'the last line was cut off while it was noted; it does not count' },
    ]);
    expect(cut).toMatchObject({ last: { n: 1, hash: sha256Of(four[0]!) }, stands: four[0]!.length + 1 });
    expect(readJournal('icu-desk.jsonl', '')).toEqual({
      station: 'icu-desk',
      noted: [],
      faults: [],
      last: { n: 0, hash: NO_LINE },
      stands: 0,
    });
  });
  test('always with what is expected', () => {
    const spoiled = [
      four.with(1, '{'),
      four.slice(1),
      [four[0]!, four[0]!],
      file(1, 'ward'),
      four.with(2, four[3]!),
    ];
    for (const { faults } of [...spoiled.map((lines) => read(lines)), readJournal('x.jsonl', '{')])
      for (const fault of faults) {
        expect(fault.expected).toMatch(/\S/);
        expect(journalFaultText(fault)).toBe(
          `${fault.file}, line ${fault.line}: ${fault.wrong}. Expected: ${fault.expected}.`,
        );
      }
  });
  test('the station is the name of the file, wherever it lies', () => {
    for (const name of ['icu-desk.jsonl', 'a/b.c/icu-desk.jsonl', 'a\\icu-desk.JSONL', 'icu-desk'])
      expect(readJournal(name, '').station).toBe('icu-desk');
    expect(readJournal('a.jsonl.b', '').station).toBe('a.jsonl.b');
    expect(told(four, 'far/icu-desk.jsonl')).toEqual([]);
  });
  test('of one id with other words: where the first one stands', () => {
    const other = readJournal(
      'b/icu-desk.jsonl',
      text([lineOf(draft(9), 'icu-desk', '2031-02-03T00:09:00Z', { n: 0, hash: NO_LINE })]),
    );
    const all = [...read(four).noted, ...other.noted];
    expect(idsTwice(all)).toEqual([
      {
        kind: 'twice',
        file: 'b/icu-desk.jsonl',
        line: 1,
        wrong: 'icu-desk/1 also stands in icu-desk.jsonl, line 1, with other words',
        expected: expect.stringMatching(/\S/),
      },
    ]);
    // The first one read stands for the id: a third is told beside it.
    expect(idsTwice([...all, ...all])).toHaveLength(2);
  });
});

test('a line as it is noted: number, id, when, who, kind and time first, the line before it last', () => {
  expect(
    lineOf({ kind: 'note', at: at(5), by: 'AB', text: 'x' }, 'icu', '2031-02-03T00:05:00Z', {
      n: 4,
      hash: 'f',
    }),
  ).toBe(
    '{"n":5,"id":"icu/5","noted":"2031-02-03T00:05:00Z","by":"AB","kind":"note","at":"2031-02-03T00:05","text":"x","before":"f"}',
  );
});
