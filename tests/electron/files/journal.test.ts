import { promises as fs } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import {
  openStation,
  readRecord,
  recordFolder,
  stationName,
  watchRecord,
} from '../../../electron/files/journal.ts';
import type { Draft } from '../../../src/record/entries.ts';
import { readJournal } from '../../../src/record/journal.ts';

let folder = '';
beforeEach(async () => {
  folder = path.join(await fs.mkdtemp(path.join(os.tmpdir(), 'bathtide-')), 'week.record');
});
afterEach(() => fs.rm(path.dirname(folder), { recursive: true, force: true }));

const note = (text: string): Draft => ({ kind: 'note', at: '2031-02-03T07:00', by: 'AB', text });
const clock = () => '2031-02-03T13:00:00.000Z';
const open = (name = 'icu-desk') => openStation(folder, name, clock);
const texts = async () =>
  (await readRecord(folder)).flatMap(({ name, text }) => {
    const journal = readJournal(name, text);
    expect(journal.faults).toEqual([]);
    return journal.noted.map(({ entry }) => (entry.kind === 'note' ? `${entry.id} ${entry.text}` : ''));
  });

test('the folder lies beside the file', () => {
  expect(recordFolder('/a/week.json')).toBe('/a/week.record');
  expect(recordFolder('/a/week.JSON')).toBe('/a/week.record');
});

test('a name for a station is a plain word', () => {
  expect(stationName(' icu-desk ')).toBe('icu-desk');
  for (const name of ['', '../icu', 'a/b', '.hidden', 'a'.repeat(41), 'con'])
    expect(() => stationName(name)).toThrow();
});

describe('noting', () => {
  test('what is noted stands on the disk, each station in its own file', async () => {
    expect(await readRecord(folder)).toEqual([]);
    const [desk, tablet] = [await open(), await open('tablet')];
    const lines = await desk.note([note('one'), note('two')]);
    await tablet.note([note('three')]);
    await desk.note([note('four')]);
    expect(lines.map((line) => JSON.parse(line).id)).toEqual(['icu-desk/1', 'icu-desk/2']);
    expect(await texts()).toEqual(['icu-desk/1 one', 'icu-desk/2 two', 'icu-desk/3 four', 'tablet/1 three']);
  });
  test('asked at one time, one after the other', async () => {
    const desk = await open();
    await Promise.all(Array.from({ length: 20 }, (_, n) => desk.note([note(String(n))])));
    expect(await texts()).toEqual(Array.from({ length: 20 }, (_, n) => `icu-desk/${n + 1} ${n}`));
  });
  test('opened again it goes on; what is no entry is refused', async () => {
    await (await open()).note([note('one')]);
    const again = await open();
    await expect(again.note([{ ...note('x'), at: 'noon' }])).rejects.toThrow(/cannot be noted: at: /);
    await again.note([note('two')]);
    expect(await texts()).toEqual(['icu-desk/1 one', 'icu-desk/2 two']);
  });
  test('a last line cut off is set aside, said, and noting goes on', async () => {
    await (await open()).note([note('one'), note('two')]);
    const file = path.join(folder, 'icu-desk.jsonl');
    const text = await fs.readFile(file, 'utf8');
    await fs.writeFile(file, text.slice(0, -9));
    const again = await open();
    expect(again.faults).toHaveLength(1);
    expect(again.faults[0]).toMatch(/cut off/);
    await again.note([note('three')]);
    expect(await texts()).toEqual(['icu-desk/1 one', 'icu-desk/2 three']);
    expect(await fs.readFile(path.join(folder, 'icu-desk.cut-off.txt'), 'utf8')).toContain('"n":2');
  });
  test('another computer under the same name is told, and nothing is noted over it', async () => {
    const [here, there] = [await open(), await open()];
    await here.note([note('one')]);
    await expect(there.note([note('other')])).rejects.toThrow(
      /another program has written to icu-desk\.jsonl/,
    );
    expect(await texts()).toEqual(['icu-desk/1 one']);
  });
  test('the folder goes while the app runs: nothing is noted, that is said, and it goes on when it is back', async () => {
    const desk = await open();
    await desk.note([note('one')]);
    await fs.rename(folder, `${folder}.away`);
    await expect(desk.note([note('two')])).rejects.toThrow(
      /Nothing was noted: the folder week\.record is gone/,
    );
    await fs.rename(`${folder}.away`, folder);
    await desk.note([note('three')]);
    expect(await texts()).toEqual(['icu-desk/1 one', 'icu-desk/2 three']);
  });
  test('its own file goes: what was confirmed is written again', async () => {
    const desk = await open();
    await desk.note([note('one')]);
    await fs.rm(path.join(folder, 'icu-desk.jsonl'));
    await desk.note([note('two')]);
    expect(await texts()).toEqual(['icu-desk/1 one', 'icu-desk/2 two']);
  });
  test('a journal that cannot be written, for root either: nothing is noted', async () => {
    const desk = await open();
    await fs.mkdir(path.join(folder, 'icu-desk.jsonl'), { recursive: true });
    await expect(desk.note([note('one')])).rejects.toThrow(/Nothing was noted/);
  });
});

test('lines of other stations are told', async () => {
  await fs.mkdir(folder);
  let told = 0;
  const stop = watchRecord(folder, () => told++);
  try {
    await new Promise((resolve) => setTimeout(resolve, 200));
    await (await open('tablet')).note([note('one')]);
    for (let n = 0; n < 50 && told === 0; n++) await new Promise((resolve) => setTimeout(resolve, 100));
    expect(told).toBeGreaterThan(0);
  } finally {
    await stop();
  }
});
