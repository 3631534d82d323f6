import { createHash } from 'node:crypto';
import {
  chmodSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { beforeEach, describe, expect, onTestFinished, test } from 'vitest';
import { SCENARIO_LIMIT } from '../../electron/files/files.ts';
import { historyFile } from '../../electron/files/history.ts';
import { createServices, type Services } from '../../electron/files/services.ts';
import { readChanges } from '../../src/scenario/changed.ts';

const bytes = (text: string) => new TextEncoder().encode(text);
let base: string;
let documents: string;
let examples: string;
let services: Services;
const make = (launch?: { file: string; named: boolean }) =>
  createServices({
    examples,
    folders: [documents],
    configDir: path.join(base, 'config'),
    launch: launch ?? { file: path.join(examples, 'demo.json'), named: false },
  });

beforeEach(() => {
  base = mkdtempSync(path.join(os.tmpdir(), 'bathtide-services-'));
  documents = path.join(base, 'documents');
  examples = path.join(base, 'examples');
  mkdirSync(examples);
  writeFileSync(path.join(examples, 'demo.json'), 'demo');
  services = make();
  onTestFinished(() => rmSync(base, { recursive: true }));
});
const existing = () => {
  mkdirSync(documents, { recursive: true });
  writeFileSync(path.join(documents, 'week.json'), 'old');
};
const handleOf = async (name: string) =>
  (await services.folders()).flatMap((folder) => folder.files).find((file) => file.name === name)?.handle ??
  'none';

describe('opening', () => {
  test('the demo is read-only; a file that the user named is not', async () => {
    expect(await services.initial()).toMatchObject({ name: 'demo.json', text: 'demo', readOnly: true });
    existing();
    const named = await make({ file: path.join(documents, 'week.json'), named: true }).initial();
    expect(named).toEqual({
      handle: named.handle,
      name: 'week.json',
      text: 'old',
      digest: createHash('sha256').update('old').digest('hex'),
    });
  });
  test('a handle tells nothing and cannot be guessed or made', async () => {
    existing();
    const handle = await handleOf('week.json');
    expect(handle).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-4/);
    for (const wrong of [
      path.join(documents, 'week.json'),
      'week.json',
      crypto.randomUUID(),
      '',
      '__proto__',
    ]) {
      await expect(services.openHandle(wrong)).rejects.toThrow(/not open here/);
      await expect(services.save(wrong, { text: 'x', base: null, page: 'p' })).rejects.toThrow(
        /not open here/,
      );
    }
  });
  test('folders list plain scenario files only: no hidden ones, no links, no other kinds', async () => {
    existing();
    writeFileSync(path.join(base, 'outside.json'), 'secret');
    symlinkSync(path.join(base, 'outside.json'), path.join(documents, 'link.json'));
    writeFileSync(path.join(documents, '.hidden.json'), '');
    writeFileSync(path.join(documents, 'notes.txt'), '');
    const [mine, shipped] = await services.folders();
    expect(mine?.files).toEqual([
      {
        handle: expect.any(String),
        name: 'week.json',
        bytes: 3,
        modified: expect.stringMatching(/^\d{4}-.*Z$/),
      },
    ]);
    expect(shipped).toMatchObject({
      name: 'Examples',
      readOnly: true,
      files: [{ name: 'demo.json', readOnly: true }],
    });
  });
});

describe('saving', () => {
  const week = () => readFileSync(path.join(documents, 'week.json'), 'utf8');
  const opened = async () => services.openHandle(await handleOf('week.json'));
  const sum = (text: string) => createHash('sha256').update(text).digest('hex');
  const save = (handle: string, text: string, base: string | null, page = 'p') =>
    services.save(handle, { text, base, page });

  test('back where it came from', async () => {
    existing();
    const { handle, digest } = await opened();
    expect(await save(handle, 'new', digest)).toEqual({ digest: sum('new') });
    expect(await save(handle, 'newer', sum('new'))).toEqual({ digest: sum('newer') });
    expect(week()).toBe('newer');
  });
  test('never over an example', async () => {
    const { handle, digest } = await services.initial();
    await expect(save(handle, 'x', digest)).rejects.toThrow(/demo\.json is an example/);
    expect(readFileSync(path.join(examples, 'demo.json'), 'utf8')).toBe('demo');
  });
  test('never over what another has saved meanwhile: the newer text comes back, with what was read', async () => {
    existing();
    const { handle, digest } = await opened();
    writeFileSync(path.join(documents, 'week.json'), 'by another');
    const newer = { newer: { text: 'by another', digest: sum('by another') }, base: 'old' };
    expect(await save(handle, 'mine', digest)).toEqual(newer);
    expect(week()).toBe('by another');
    expect(await save(handle, 'mine', null)).toEqual({ ...newer, base: null });
    await save(handle, 'merged', sum('by another'));
    expect(week()).toBe('merged');
  });
  test('two pages that have read the same: the second is told of the first one’s save', async () => {
    existing();
    const { handle, digest } = await opened();
    expect(await save(handle, 'one', digest, 'first')).toEqual({ digest: sum('one') });
    expect(await save(handle, 'two', digest, 'second')).toMatchObject({
      newer: { text: 'one' },
      base: 'old',
    });
    expect(week()).toBe('one');
  });
  test('two hosts on one folder, at once: one of the two saves is told of the other', async () => {
    existing();
    const other = make();
    const { handle, digest } = await opened();
    const there = (await other.folders())[0]!.files[0]!.handle;
    for (let round = 0, base = digest; round < 20; round++) {
      const done = await Promise.all([
        services.save(handle, { text: `a${round}`, base, page: 'p' }),
        other.save(there, { text: `b${round}`, base, page: 'q' }),
      ]);
      expect(done.filter((one) => 'newer' in one)).toHaveLength(1);
      base = sum(week());
    }
    expect(readdirSync(documents)).toEqual(['week.json']);
  });
  test('a lock that a killed host left is broken after a while', async () => {
    existing();
    const { handle, digest } = await opened();
    const lock = path.join(documents, '.week.json.lock');
    writeFileSync(lock, '1');
    utimesSync(lock, new Date(0), new Date(0));
    await save(handle, 'new', digest);
    expect(week()).toBe('new');
    expect(readdirSync(documents)).toEqual(['week.json']);
  });
  test('two saves of one page at once: the later one stands, whole', async () => {
    existing();
    const { handle, digest } = await opened();
    await Promise.all([save(handle, 'a'.repeat(300_000), digest), save(handle, 'b'.repeat(200_000), digest)]);
    expect([week().length, new Set(week())]).toEqual([200_000, new Set('b')]);
  });
  test('many saves at once: the last one stands, and one that fails holds up no other', async () => {
    existing();
    const { handle, digest } = await opened();
    const failed = save('no such handle', 'x', null).then(
      () => 'saved',
      () => 'refused',
    );
    // The longer the text, the longer it takes: out of turn, the first would be the last one done.
    const texts = [400_000, 200_000, 100_000, 10_000, 10].map((length, n) => String(n).repeat(length));
    await Promise.all(texts.map((text) => save(handle, text, digest)));
    expect(await failed).toBe('refused');
    expect(week()).toBe('4'.repeat(10));
  });
  test('no more than can be opened again', async () => {
    existing();
    const { handle, digest } = await opened();
    const most = 'x'.repeat(SCENARIO_LIMIT);
    await expect(save(handle, `${most}y`, digest)).rejects.toMatchObject({
      status: 413,
      message: expect.stringMatching(/it would hold 20\.0 MB, a scenario at most 20\.0 MB/),
    });
    await expect(
      services.saveInFolder({ folder: '0', name: 'x.json', overwrite: true, keep: true }, bytes(`${most}y`)),
    ).rejects.toMatchObject({ status: 413 });
    expect(week()).toBe('old');
    await save(handle, most, digest);
    expect((await opened()).text).toHaveLength(SCENARIO_LIMIT);
  });
  test('a link swapped in under an opened name is refused, for reading and writing', async () => {
    existing();
    const { handle, digest } = await opened();
    const secret = path.join(base, 'secret.json');
    writeFileSync(secret, 'secret');
    rmSync(path.join(documents, 'week.json'));
    symlinkSync(secret, path.join(documents, 'week.json'));
    await expect(services.openHandle(handle)).rejects.toThrow(/leads to another file/);
    await expect(services.look(handle, digest, { page: 'p' })).rejects.toThrow(/leads to another file/);
    await expect(save(handle, 'mine', sum('secret'))).rejects.toThrow(/leads to another file/);
    expect(readFileSync(secret, 'utf8')).toBe('secret');
  });
  test('what another saves is seen by its digest', async () => {
    existing();
    const { handle, digest } = await opened();
    expect(await services.look(handle, digest, { page: 'p' })).toBeNull();
    writeFileSync(path.join(documents, 'week.json'), 'by another');
    expect(await services.look(handle, digest, { page: 'p' })).toEqual({
      text: 'by another',
      digest: sum('by another'),
      base: 'old',
    });
    await save(handle, 'mine', sum('by another'));
    expect(await services.look(handle, digest, { page: 'p' })).toBeNull(); // its own, heard of late
    expect(await services.look(handle, digest, { page: 'q' })).toMatchObject({ text: 'mine' });
    rmSync(path.join(documents, 'week.json'));
    expect(await services.look(handle, digest, { page: 'p' })).toBeNull();
  });
});

describe('kept versions', () => {
  test('the last 20 saved states, newest first, what was there before the first save too', async () => {
    existing();
    const { handle, digest } = await services.openHandle(await handleOf('week.json'));
    let base = digest;
    const texts = Array.from({ length: 25 }, (_, n) => `save ${n}`);
    for (const text of texts.slice(0, 3)) {
      const saved = await services.save(handle, { text, base, page: 'p' });
      if ('digest' in saved) base = saved.digest;
    }
    const read = async () =>
      Promise.all((await services.versions(handle)).map(({ id }) => services.version(handle, id)));
    expect(await read()).toEqual(['save 2', 'save 1', 'save 0', 'old']);
    for (const text of texts.slice(3)) {
      const saved = await services.save(handle, { text, base, page: 'p' });
      if ('digest' in saved) base = saved.digest;
    }
    expect(await read()).toEqual(texts.slice(-20).reverse());
    for (const wrong of ['../recent.json', 'x', '2031-02-03T07-00-00-000Z-000000000000.json'])
      await expect(services.version(handle, wrong)).rejects.toThrow(/version/);
  });
});

test('who changed which prescription when is kept beside the scenario, a file a computer', async () => {
  const scenario = (dose: number, more: object[] = []) =>
    JSON.stringify({ title: `week ${dose}`, patients: [{ id: 'bed-04', dose, weight: 80 }, ...more] });
  const write = { folder: '0', name: 'week.json', overwrite: true, keep: true };
  const saved = await services.saveInFolder(write, bytes(scenario(25)));
  const { handle, digest } = saved!;
  await services.save(handle, { text: scenario(30, [{ id: 'bed-05', dose: 20 }]), base: digest!, page: 'p' });
  const history = historyFile(path.join(documents, 'week.json'));
  const lines = readFileSync(history, 'utf8')
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line));
  expect(lines).toEqual([
    {
      at: expect.stringMatching(/Z$/),
      by: os.userInfo().username,
      on: os.hostname(),
      what: ['bed-04', 'dose'],
      from: 25,
      to: 30,
    },
    { ...lines[0], what: ['bed-05'], from: null, to: { id: 'bed-05', dose: 20 } },
  ]);
  // It is no station's journal, and a title alone is no prescription.
  expect(readdirSync(path.dirname(history)).filter((name) => name.endsWith('.jsonl'))).toEqual([]);
  const { digest: now } = await services.openHandle(handle);
  await services.save(handle, {
    text: scenario(30, [{ id: 'bed-05', dose: 20 }]).replace('week', 'Week'),
    base: now,
    page: 'p',
  });
  expect(readFileSync(history, 'utf8').trim().split('\n')).toHaveLength(2);
});

describe('the history of prescriptions', () => {
  const week = (dose: number) => JSON.stringify({ patients: [{ id: 'bed-04', dose }] });
  const write = { folder: '0', name: 'week.json', overwrite: true, keep: true };
  const told = async (handle: string) => readChanges(await services.changes(handle));
  test('is told of every computer, the latest first; saving under a name that is taken counts too', async () => {
    const { handle, digest } = (await services.saveInFolder(write, bytes(week(25))))!;
    expect(await services.changes(handle)).toEqual([]);
    await services.save(handle, { text: week(30), base: digest!, page: 'p' });
    await services.saveInFolder(write, bytes(week(35)));
    await services.saveChosen(path.join(documents, 'week.json'), bytes(week(40)), true);
    const other = historyFile(path.join(documents, 'week.json'), 'tablet 2');
    const past = {
      at: '2001-01-01T00:00:00Z',
      by: 'kim',
      on: 'tablet 2',
      what: ['bed-04'],
      from: null,
      to: 1,
    };
    writeFileSync(other, JSON.stringify(past)); // another station has just begun its line
    const { changes, faults } = await told(handle);
    expect(changes.map(({ on, from, to }) => [on, from, to]).sort()).toEqual(
      [
        [os.hostname(), 25, 30],
        [os.hostname(), 30, 35],
        [os.hostname(), 35, 40],
        ['tablet 2', null, 1],
      ].sort(),
    );
    expect(changes.at(-1)).toEqual(past);
    expect(faults).toEqual([]);
  });
  test('a line that a kill cut off stays alone, and what comes after it is read', async () => {
    const { handle, digest } = (await services.saveInFolder(write, bytes(week(25))))!;
    const saved = await services.save(handle, { text: week(30), base: digest!, page: 'p' });
    const history = historyFile(path.join(documents, 'week.json'));
    writeFileSync(history, readFileSync(history).subarray(0, -20));
    const base = 'digest' in saved ? saved.digest : '';
    await services.save(handle, { text: week(35), base, page: 'p' });
    const { changes, faults } = await told(handle);
    expect(changes.map(({ from, to }) => [from, to])).toEqual([[30, 35]]);
    expect(faults).toEqual([expect.stringMatching(/line 1, cannot be read/)]);
  });
});

describe('drafts', () => {
  const here = { page: 'new page', open: new Set<string>() };
  const draft = (text: string, handle: string | null = null, base: string | null = null) => ({
    handle,
    name: 'week.json',
    text,
    base,
    at: new Date().toISOString(),
  });
  test('what a page that died left is offered to the next one, with its file as it is now', async () => {
    existing();
    const { handle, digest } = await services.openHandle(await handleOf('week.json'));
    await services.keepDraft(draft('one', handle, digest), { page: 'dead', open: new Set(['dead']) });
    await services.keepDraft(draft('two', handle, digest), { page: 'dead', open: new Set(['dead']) });
    writeFileSync(path.join(documents, 'week.json'), 'by another');
    const [found, ...more] = await services.drafts(here);
    expect(more).toEqual([]);
    expect(found).toMatchObject({ text: 'two', base: digest, file: { text: 'by another', handle } });
    await services.forgetDraft(found!.id, here);
    expect(await services.drafts(here)).toEqual([]);
  });
  test('a page that is open keeps its own; one that saved has none', async () => {
    await services.keepDraft(draft('mine'), { page: 'open', open: new Set() });
    expect(await services.drafts({ page: 'new', open: new Set(['open']) })).toEqual([]);
    await services.forgetDraft('../recent.json', here);
    await services.keepDraft(null, { page: 'open', open: new Set() });
    expect(await services.drafts(here)).toEqual([]);
  });
  test('one that is cut off, and one of another host that runs, are not offered; one of a dead host is', async () => {
    const folder = path.join(base, 'config', 'drafts');
    await services.keepDraft(draft('mine'), { page: 'x', open: new Set() });
    const [name = ''] = readdirSync(folder);
    const whole = readFileSync(path.join(folder, name), 'utf8');
    const under = (pid: number, text: string) =>
      writeFileSync(path.join(folder, `${pid}-${'0'.repeat(16)}.json`), text);
    under(process.ppid, whole);
    under(2 ** 22 + 1, whole); // above the largest process number
    expect(await services.drafts(here)).toHaveLength(2);
    under(2 ** 22 + 1, whole.slice(0, -4));
    expect(await services.drafts(here)).toHaveLength(1);
  });
});

test.skipIf(process.platform === 'win32')(
  'what it writes is the user’s alone; on a shared folder, of those who share it',
  async () => {
    const mode = (file: string) => statSync(file).mode & 0o777;
    const write = { folder: '0', name: 'week.json', overwrite: true, keep: true };
    const saved = await services.saveInFolder(write, bytes('one'));
    await services.save(saved!.handle, { text: 'two', base: saved!.digest!, page: 'p' });
    await services.keepDraft(
      { handle: null, name: 'x', text: 'x', base: null, at: new Date().toISOString() },
      { page: 'p', open: new Set() },
    );
    expect([mode(documents), mode(path.join(documents, 'week.json'))]).toEqual([0o700, 0o600]);
    const config = path.join(base, 'config');
    const inside = readdirSync(config, { recursive: true, encoding: 'utf8' });
    expect(inside.length).toBeGreaterThan(5);
    for (const name of inside) {
      const file = path.join(config, name);
      expect([name, mode(file)]).toEqual([name, statSync(file).isDirectory() ? 0o700 : 0o600]);
    }
    chmodSync(documents, 0o770);
    await services.saveInFolder({ ...write, name: 'shared.json' }, bytes('one'));
    expect(mode(path.join(documents, 'shared.json'))).toBe(0o660);
  },
);

describe('saving in a folder', () => {
  test('makes the documents folder; a taken name asks first', async () => {
    const saved = await services.saveInFolder(
      { folder: '0', name: 'week.json', overwrite: false, keep: true },
      bytes('one'),
    );
    expect(saved?.name).toBe('week.json');
    expect(
      await services.saveInFolder(
        { folder: '0', name: 'week.json', overwrite: false, keep: true },
        bytes('two'),
      ),
    ).toBeNull();
    expect(readFileSync(path.join(documents, 'week.json'), 'utf8')).toBe('one');
    const again = await services.saveInFolder(
      { folder: '0', name: 'week.json', overwrite: true, keep: true },
      bytes('two'),
    );
    await services.save(saved?.handle ?? '', { text: 'three', base: again?.digest ?? null, page: 'p' });
    expect(readFileSync(path.join(documents, 'week.json'), 'utf8')).toBe('three');
  });
  test('no way out of the folder, and none into the examples', async () => {
    mkdirSync(documents);
    writeFileSync(path.join(base, 'outside.json'), 'secret');
    symlinkSync(path.join(base, 'outside.json'), path.join(documents, 'link.json'));
    for (const name of ['../outside.json', '/etc/x.json', 'a/b.json', '..', 'link.json']) {
      await expect(
        services.saveInFolder({ folder: '0', name: name, overwrite: true, keep: false }, bytes('x')),
      ).rejects.toThrow(/file name|link/);
    }
    await expect(
      services.saveInFolder({ folder: '1', name: 'demo.json', overwrite: true, keep: false }, bytes('x')),
    ).rejects.toThrow(/not one you may save/);
    await expect(
      services.saveInFolder({ folder: base, name: 'x.json', overwrite: true, keep: false }, bytes('x')),
    ).rejects.toThrow(/not one you may save/);
    expect(readFileSync(path.join(base, 'outside.json'), 'utf8')).toBe('secret');
    expect(readdirSync(documents)).toEqual(['link.json']);
  });
});

describe('recent files', () => {
  const names = async (from = services) => (await from.recent()).map((file) => file.name);
  test('newest first, kept over a restart, ten at most, exports and examples left out', async () => {
    await services.initial();
    for (let week = 1; week <= 12; week++)
      await services.saveInFolder(
        { folder: '0', name: `week-${week}.json`, overwrite: false, keep: true },
        bytes('x'),
      );
    await services.saveInFolder({ folder: '0', name: 'bags.csv', overwrite: false, keep: false }, bytes('x'));
    await services.openHandle(await handleOf('week-5.json'));
    rmSync(path.join(documents, 'week-12.json'));
    expect(await names()).toEqual(
      ['5', '11', '10', '9', '8', '7', '6', '4', '3'].map((week) => `week-${week}.json`),
    );
    expect(await names(make())).toEqual(await names());
  });
  test('a spoilt list starts anew', async () => {
    mkdirSync(path.join(base, 'config'));
    writeFileSync(path.join(base, 'config', 'recent.json'), '{ half writ');
    expect(await names()).toEqual([]);
    await services.saveInFolder({ folder: '0', name: 'week.json', overwrite: false, keep: true }, bytes('x'));
    expect(await names()).toEqual(['week.json']);
  });
});
