import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { readTable, tableOf } from './table.mjs';

const ROOT = path.resolve(import.meta.dirname, '..', '..');
const read = (name: string) => readFileSync(path.join(import.meta.dirname, name), 'utf8');
const rooms: Record<string, { mutate: string[]; tests: string[] }> = JSON.parse(read('rooms.json'));
interface Table {
  figures: Record<string, Record<string, string[]>>;
  survivors: Record<string, string[][]>;
}
const { figures, survivors } = readTable(read('SURVIVORS.md')) as Table;

test('every room has files to change and tests to judge', () => {
  for (const one of Object.values(rooms).flatMap(({ mutate, tests }) => [...mutate, ...tests]))
    expect([one, existsSync(path.join(ROOT, one.replace(/\/\*.*$/, '')))]).toEqual([one, true]);
});

test('the figures of the table add up, and each mutant that lived is listed with a word', () => {
  expect(Object.keys(rooms)).toEqual(expect.arrayContaining(Object.keys(figures)));
  for (const [room, files] of Object.entries(figures)) {
    const named = (survivors[room] ?? []).map(([place]) => place!.split(':')[0]);
    for (const [file, row] of Object.entries(files)) {
      const [all, killed, ended, survived, bare, share] = row.slice(2).map(Number) as number[];
      expect([file, killed! + survived! + bare!]).toEqual([file, all]);
      expect(ended).toBeLessThanOrEqual(killed!);
      if (all! > 0) expect(share).toBeCloseTo((100 * killed!) / all!, 1);
      expect([file, named.filter((one) => one === file).length]).toEqual([file, survived! + bare!]);
      expect([file, existsSync(path.join(ROOT, file))]).toEqual([file, true]);
    }
    for (const one of survivors[room] ?? [])
      expect(one.map((cell) => cell !== '')).toEqual([true, true, true, true]);
  }
});

test('a table written anew keeps the words, also where lines have moved', () => {
  const file = (source: string, line: number) => {
    const mutant = {
      replacement: 'a || b',
      location: { start: { line, column: 5 }, end: { line, column: 11 } },
    };
    return { 'src/x.ts': { source, mutants: [{ status: 'Killed' }, { status: 'Survived', ...mutant }] } };
  };
  const first: string = tableOf({ figures: {}, survivors: {} }, 'x', {
    files: file('if (a && b)', 1),
    date: '2031-02-03',
  });
  expect(first).toContain('| src/x.ts:1 | `a && b` | `a ¦¦ b` | open |');
  const worded = readTable(first.replace('| open |', '| equivalent |'));
  const second: string = tableOf(worded, 'x', { files: file('\n\nif (a && b)', 3), date: '2031-02-04' });
  expect(second).toContain('| src/x.ts:3 | `a && b` | `a ¦¦ b` | equivalent |');
  expect(second).toContain('| src/x.ts | 2031-02-04 | 2 | 1 | 0 | 1 | 0 | 50.0 |');
});

test('a room is judged piece by piece: a file judged anew replaces its own rows alone, and the sums follow', () => {
  const report = (status: string) => ({
    source: 'a',
    mutants: [
      {
        status,
        replacement: 'b',
        location: { start: { line: 1, column: 1 }, end: { line: 1, column: 2 } },
      },
      { status: 'Timeout' },
    ],
  });
  const pieces = [
    [{ 'src/b.ts': report('NoCoverage'), 'src/c.ts': report('Survived') }, '2031-02-03'],
    [{ 'src/a.ts': report('Survived') }, '2031-02-04'],
    [{ 'src/c.ts': report('Killed') }, '2031-02-05'],
  ] as const;
  let text = '';
  for (const [files, date] of pieces) text = tableOf(readTable(text), 'x', { files, date });
  expect(text).toContain('| x | 2031-02-03 | 6 | 4 | 3 | 1 | 1 | 66.7 |');
  const table = readTable(text) as Table;
  expect(Object.values(table.figures.x!)).toEqual([
    ['src/a.ts', '2031-02-04', '2', '1', '1', '1', '0', '50.0'],
    ['src/b.ts', '2031-02-03', '2', '1', '1', '0', '1', '50.0'],
    ['src/c.ts', '2031-02-05', '2', '2', '1', '0', '0', '100.0'],
  ]);
  expect(table.survivors.x!.map(([place]) => place)).toEqual(['src/a.ts:1', 'src/b.ts:1']);
});
