import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { readScenario, writeScenario } from '../../../src/scenario/read.ts';
import { generate } from '../../bench/generate.ts';
import { type AfterLoss, forgetfulDisk } from './disk.ts';

const root = mkdtempSync(path.join(os.tmpdir(), 'bathtide-power-'));
const disk = forgetfulDisk(root);
await disk.listenToHandles();
// Only now: what they call is listened to.
const { createServices } = await import('../../../electron/files/services.ts');
const { openStation } = await import('../../../electron/files/journal.ts');
const { createDrafts } = await import('../../../electron/files/drafts.ts');

const scratch = mkdtempSync(path.join(os.tmpdir(), 'bathtide-power-after-'));
afterAll(() => {
  disk.stop();
  for (const folder of [root, scratch]) rmSync(folder, { recursive: true });
});
/** What is left, as folders and files that can be opened. */
function restored({ files }: AfterLoss): string {
  rmSync(scratch, { recursive: true, force: true });
  mkdirSync(scratch);
  for (const [name, bytes] of files) {
    mkdirSync(path.join(scratch, path.dirname(name)), { recursive: true });
    writeFileSync(path.join(scratch, name), bytes);
  }
  return scratch;
}
const week = generate({ seed: 3, kind: 'week', days: 1, baths: 1, machines: 1 });
const saved = (n: number) => writeScenario({ ...week, title: `save ${n}` });
/** The number of the save that a file holds. */
function saveIn(bytes: Buffer | undefined): number {
  const reading = readScenario(String(bytes));
  return reading.ok ? Number(/\d+$/.exec(reading.scenario.title)?.[0]) : Number.NaN;
}
const config = path.join(root, 'config');
const documents = path.join(root, 'documents');

test('a scenario: whole at any moment, and once a save is confirmed no older one comes back', async () => {
  mkdirSync(config);
  mkdirSync(documents);
  const file = path.join(documents, 'week.json');
  writeFileSync(file, saved(0));
  disk.settle();
  const services = createServices({
    examples: documents,
    folders: [documents],
    configDir: config,
    launch: { file, named: true },
  });
  const { handle, digest } = await services.initial();
  let base: string | null = digest;
  let looked = 0;
  for (let n = 1; n <= 3; n++) {
    disk.tell(`save ${n}`);
    const answer = await services.save(handle, { text: saved(n), base, page: 'a' });
    base = 'digest' in answer ? answer.digest : null;
    const losses = disk.losses();
    for (const one of losses) {
      const found = saveIn(one.files.get('documents/week.json'));
      expect([n - 1, n], one.at).toContain(found);
      looked += 1;
    }
    // The last four are the moment after the save was confirmed.
    for (const one of losses.slice(-4)) expect(saveIn(one.files.get('documents/week.json')), one.at).toBe(n);
  }
  expect(looked).toBeGreaterThan(40);
});

test('the last keystroke that was confirmed is offered after the power is back', async () => {
  const drafts = createDrafts(config);
  const offered = async (one: AfterLoss) => {
    const folder = path.join(restored(one), 'config');
    const found = await createDrafts(folder).offered('page', new Set());
    return found.map(({ text }) => Number(text));
  };
  for (let n = 1; n <= 3; n++) {
    disk.tell(`keystroke ${n}`);
    const draft = {
      handle: null,
      name: 'week.json',
      text: String(n),
      base: null,
      at: '2031-02-03T07:00:00.000Z',
    };
    await drafts.keep('page', draft, null);
    const losses = disk.losses();
    disk.stop();
    for (const one of losses)
      expect(n === 1 ? [[], [1]] : [[n - 1], [n]], one.at).toContainEqual(await offered(one));
    for (const one of losses.slice(-4)) expect(await offered(one), one.at).toEqual([n]);
    disk.go();
  }
});

test('every confirmed entry of a record is there; one that was being noted is there whole or told as cut off', async () => {
  const folder = path.join(documents, 'week.record');
  const station = await openStation(folder, 'icu-desk', () => '2031-02-03T07:00:00.000Z');
  for (let n = 1; n <= 4; n++) {
    disk.tell(`entry ${n}`);
    await station.note([{ kind: 'note', at: '2031-02-03T07:00', by: 'ab', text: `round ${n}` }]);
    const losses = disk.losses();
    disk.stop();
    const after = async (one: AfterLoss) => {
      const place = path.join(restored(one), 'documents', 'week.record');
      const again = await openStation(place, 'icu-desk', () => '2031-02-03T08:00:00.000Z');
      const [line] = await again.note([{ kind: 'note', at: '2031-02-03T08:00', by: 'ab', text: 'after' }]);
      expect(
        again.faults.every((fault) => /cut off/.test(fault)),
        one.at,
      ).toBe(true);
      return JSON.parse(line!).n - 1;
    };
    for (const one of losses) expect([n - 1, n], one.at).toContain(await after(one));
    for (const one of losses.slice(-4)) expect(await after(one), one.at).toBe(n);
    disk.go();
  }
});
