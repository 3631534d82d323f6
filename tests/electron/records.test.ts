import { appendFileSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { createServices } from '../../electron/files/services.ts';
import { readJournal } from '../../src/record/journal.ts';

let folder: string;
let handle: string;
let services: ReturnType<typeof createServices>;
const week = () => path.join(folder, 'week.json');
const documents = () => path.join(folder, 'documents');
const make = (named: boolean) =>
  createServices({
    examples: folder,
    folders: [documents()],
    configDir: path.join(folder, 'config'),
    launch: { file: week(), named },
  });
beforeEach(async () => {
  folder = mkdtempSync(path.join(tmpdir(), 'bathtide-records-'));
  writeFileSync(week(), '{}');
  services = make(true);
  ({ handle } = await services.initial());
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const passed = { kind: 'test', water: 'RO', result: 'pass', at: '2031-02-03T07:10', by: 'AB' };
const failed = { ...passed, result: 'fail', at: '2031-02-03T11:10' };

test('an entry is on the disk beside its scenario when it is noted, in a chain that holds', async () => {
  const one = await services.note(handle, 'icu-desk', [passed]);
  await services.note(handle, 'icu-desk', [failed]);
  expect(one).toMatchObject({ file: 'icu-desk.jsonl', faults: [] });
  const text = readFileSync(path.join(folder, 'week.record', 'icu-desk.jsonl'), 'utf8');
  expect(text.startsWith(`${one.lines[0]}\n`)).toBe(true);
  const { noted, faults } = readJournal('icu-desk.jsonl', text);
  expect(faults).toEqual([]);
  expect(noted.map(({ entry }) => entry.id)).toEqual(['icu-desk/1', 'icu-desk/2']);
});

test('only what was added is read again, of every station; a file that became shorter is read anew', async () => {
  await services.note(handle, 'icu-desk', [passed]);
  await services.note(handle, 'tablet', [passed]);
  const parts = await services.record(handle, {});
  expect(parts.map(({ name, from }) => [name, from])).toEqual([
    ['icu-desk.jsonl', 0],
    ['tablet.jsonl', 0],
  ]);
  const known = Object.fromEntries(parts.map(({ name, size }) => [name, size]));
  expect(await services.record(handle, known)).toEqual([]);
  const { lines } = await services.note(handle, 'tablet', [failed]);
  expect(await services.record(handle, known)).toMatchObject([
    { name: 'tablet.jsonl', from: known['tablet.jsonl'], text: `${lines[0]}\n` },
  ]);
  writeFileSync(path.join(folder, 'week.record', 'tablet.jsonl'), '');
  expect(await services.record(handle, known)).toMatchObject([{ name: 'tablet.jsonl', from: 0, text: '' }]);
});

test('an example stays as it came: its record lies where copies are kept', async () => {
  const demo = make(false);
  const { handle: lent } = await demo.initial();
  await demo.note(lent, 'icu-desk', [passed]);
  expect(existsSync(path.join(folder, 'week.record'))).toBe(false);
  expect(await demo.record(lent, {})).toHaveLength(1);
  expect(existsSync(path.join(documents(), 'week.record', 'icu-desk.jsonl'))).toBe(true);
});

test('what is no entry, a name that is none, and a file that another writes to are refused, and nothing is written', async () => {
  const file = path.join(folder, 'week.record', 'icu-desk.jsonl');
  await expect(services.note(handle, 'icu-desk', [{ ...passed, result: 'maybe' }])).rejects.toThrow(/result/);
  await expect(services.note(handle, '../x', [passed])).rejects.toThrow(/station|name/);
  expect(existsSync(file) && readFileSync(file, 'utf8')).toBe(false);
  await services.note(handle, 'icu-desk', [passed]);
  appendFileSync(file, '{"by":"another"}\n');
  const before = readFileSync(file, 'utf8');
  await expect(services.note(handle, 'icu-desk', [failed])).rejects.toThrow(/Nothing was noted/);
  expect(readFileSync(file, 'utf8')).toBe(before);
});
