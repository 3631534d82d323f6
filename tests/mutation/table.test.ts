import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { readTable, tableOf } from './table.mjs';

const ROOT = path.resolve(import.meta.dirname, '..', '..');
const read = (name: string) => readFileSync(path.join(import.meta.dirname, name), 'utf8');
const rooms: Record<string, { mutate: string[]; tests: string[] }> = JSON.parse(read('rooms.json'));
const { figures, survivors } = readTable(read('SURVIVORS.md')) as {
  figures: Record<string, string[]>;
  survivors: Record<string, string[][]>;
};

test('every room has files to change and tests to judge', () => {
  for (const one of Object.values(rooms).flatMap(({ mutate, tests }) => [...mutate, ...tests]))
    expect([one, existsSync(path.join(ROOT, one.replace(/\/\*.*$/, '')))]).toEqual([one, true]);
});

test('the figures of the table add up, and each mutant that lived is listed with a word', () => {
  expect(Object.keys(rooms)).toEqual(expect.arrayContaining(Object.keys(figures)));
  for (const [room, row] of Object.entries(figures)) {
    const [all, killed, ended, survived, bare, share] = row.slice(2).map(Number) as number[];
    expect([room, killed! + survived! + bare!]).toEqual([room, all]);
    expect(ended).toBeLessThanOrEqual(killed!);
    expect(share).toBeCloseTo((100 * killed!) / all!, 1);
    expect([room, (survivors[room] ?? []).length]).toEqual([room, survived! + bare!]);
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
  expect(second).toContain('| x | 2031-02-04 | 2 | 1 | 0 | 1 | 0 | 50.0 |');
});
