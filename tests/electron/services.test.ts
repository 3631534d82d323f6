import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { beforeEach, describe, expect, onTestFinished, test } from 'vitest';
import { createServices, type Services } from '../../electron/files/services.ts';

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
    expect(named).toEqual({ handle: named.handle, name: 'week.json', text: 'old' });
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
      await expect(services.save(wrong, 'x')).rejects.toThrow(/not open here/);
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
  test('back where it came from', async () => {
    existing();
    const { handle } = await services.openHandle(await handleOf('week.json'));
    await services.save(handle, 'new');
    await services.save(handle, 'newer');
    expect(readFileSync(path.join(documents, 'week.json'), 'utf8')).toBe('newer');
  });
  test('never over an example', async () => {
    const { handle } = await services.initial();
    await expect(services.save(handle, 'x')).rejects.toThrow(/demo\.json is an example/);
    expect(readFileSync(path.join(examples, 'demo.json'), 'utf8')).toBe('demo');
  });
  test('never over what another program wrote meanwhile', async () => {
    existing();
    const { handle } = await services.openHandle(await handleOf('week.json'));
    writeFileSync(path.join(documents, 'week.json'), 'by another');
    await expect(services.save(handle, 'mine')).rejects.toThrow(/changed by another program/);
    expect(readFileSync(path.join(documents, 'week.json'), 'utf8')).toBe('by another');
    await services.openHandle(handle);
    await services.save(handle, 'mine');
    expect(readFileSync(path.join(documents, 'week.json'), 'utf8')).toBe('mine');
  });
  test('two saves at once: the later one stands, whole', async () => {
    existing();
    const { handle } = await services.openHandle(await handleOf('week.json'));
    await Promise.all([
      services.save(handle, 'a'.repeat(300_000)),
      services.save(handle, 'b'.repeat(200_000)),
    ]);
    const kept = readFileSync(path.join(documents, 'week.json'), 'utf8');
    expect([kept.length, new Set(kept)]).toEqual([200_000, new Set('b')]);
    await services.save(handle, 'c');
  });

  test('many saves at once: the last one stands, and one that fails holds up no other', async () => {
    existing();
    const { handle } = await services.openHandle(await handleOf('week.json'));
    const failed = services.save('no such handle', 'x').then(
      () => 'saved',
      () => 'refused',
    );
    // The longer the text, the longer it takes: out of turn, the first would be the last one done.
    const texts = [400_000, 200_000, 100_000, 10_000, 10].map((length, n) => String(n).repeat(length));
    await Promise.all(texts.map((text) => services.save(handle, text)));
    expect(await failed).toBe('refused');
    expect(readFileSync(path.join(documents, 'week.json'), 'utf8')).toBe('4'.repeat(10));
  });
});

describe('saving in a folder', () => {
  test('makes the documents folder; a taken name asks first', async () => {
    const saved = await services.saveInFolder('0', 'week.json', bytes('one'), false, true);
    expect(saved?.name).toBe('week.json');
    expect(await services.saveInFolder('0', 'week.json', bytes('two'), false, true)).toBeNull();
    expect(readFileSync(path.join(documents, 'week.json'), 'utf8')).toBe('one');
    await services.saveInFolder('0', 'week.json', bytes('two'), true, true);
    await services.save(saved?.handle ?? '', 'three');
    expect(readFileSync(path.join(documents, 'week.json'), 'utf8')).toBe('three');
  });
  test('no way out of the folder, and none into the examples', async () => {
    mkdirSync(documents);
    writeFileSync(path.join(base, 'outside.json'), 'secret');
    symlinkSync(path.join(base, 'outside.json'), path.join(documents, 'link.json'));
    for (const name of ['../outside.json', '/etc/x.json', 'a/b.json', '..', 'link.json']) {
      await expect(services.saveInFolder('0', name, bytes('x'), true, false)).rejects.toThrow(
        /file name|link/,
      );
    }
    await expect(services.saveInFolder('1', 'demo.json', bytes('x'), true, false)).rejects.toThrow(
      /not one you may save/,
    );
    await expect(services.saveInFolder(base, 'x.json', bytes('x'), true, false)).rejects.toThrow(
      /not one you may save/,
    );
    expect(readFileSync(path.join(base, 'outside.json'), 'utf8')).toBe('secret');
    expect(readdirSync(documents)).toEqual(['link.json']);
  });
});

describe('recent files', () => {
  const names = async (from = services) => (await from.recent()).map((file) => file.name);
  test('newest first, kept over a restart, ten at most, exports and examples left out', async () => {
    await services.initial();
    for (let week = 1; week <= 12; week++)
      await services.saveInFolder('0', `week-${week}.json`, bytes('x'), false, true);
    await services.saveInFolder('0', 'bags.csv', bytes('x'), false, false);
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
    await services.saveInFolder('0', 'week.json', bytes('x'), false, true);
    expect(await names()).toEqual(['week.json']);
  });
});
