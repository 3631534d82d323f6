import { mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import {
  explain,
  HostError,
  inside,
  plainName,
  readText,
  SCENARIO_LIMIT,
  writeWhole,
} from '../../electron/files/files.ts';

const folder = mkdtempSync(path.join(os.tmpdir(), 'bathtide-files-'));
afterAll(() => rmSync(folder, { recursive: true }));
const put = (name: string, content: string | Uint8Array) => {
  writeFileSync(path.join(folder, name), content);
  return path.join(folder, name);
};

describe('reading', () => {
  test('text as it is, a byte order mark left out', async () => {
    expect((await readText(put('bom.json', '\ufeff{"title":"Größe"}'))).text).toBe('{"title":"Größe"}');
  });
  test('over the limit: name, size and limit are said, and nothing is read', async () => {
    const file = put('big.json', new Uint8Array(SCENARIO_LIMIT + 1));
    await expect(readText(file)).rejects.toThrow(/big\.json .* 20\.0 MB, a scenario at most 20\.0 MB/);
    expect((await readText(put('full.json', new Uint8Array(SCENARIO_LIMIT).fill(32)))).text).toHaveLength(
      SCENARIO_LIMIT,
    );
  });
  test.each([
    ['bytes that are no UTF-8', () => put('latin.json', new Uint8Array([0x7b, 0xe4, 0x7d])), /not UTF-8/],
    ['a folder', () => folder, /no plain file/],
    [
      'a missing file',
      () => path.join(folder, 'gone.json'),
      /gone\.json could not be opened: it is not there/,
    ],
  ])('%s: a HostError in words', async (_what, make, words) => {
    const reading = readText(make());
    await expect(reading).rejects.toThrow(words);
    await expect(reading).rejects.toBeInstanceOf(HostError);
  });
});

test('a full disk is said in words, and that the old file stands', () => {
  const full = Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC' });
  expect(explain(full, 'save', 'week.json').message).toMatch(
    /week\.json could not be saved: the disk is full.*untouched/,
  );
});

test('writing replaces, and makes the folder', async () => {
  const file = path.join(folder, 'new', 'a.json');
  await writeWhole(file, new TextEncoder().encode('one'));
  await writeWhole(file, new TextEncoder().encode('two'));
  expect(readFileSync(file, 'utf8')).toBe('two');
});

describe('names', () => {
  test.each(['week 6.json', 'Größe.csv', 'plan-2.xlsx', 'a..b.json'])('%s is fine', (name) => {
    expect(plainName(name)).toBe(name);
  });
  test.each([
    '../x',
    'a/b',
    'a\\b',
    '..',
    '.',
    '',
    '  ',
    '.hidden',
    'x.',
    'C:x',
    'nul.json',
    'COM1',
    'nul .json',
    'com¹.csv',
    'LPT³',
    'conin$',
    'CONOUT$.txt',
    'com0.json',
    'a\0b',
    'x'.repeat(121),
  ])('%j is refused', (name) => {
    expect(() => plainName(name)).toThrow(HostError);
  });
});

describe('containment', () => {
  const root = path.join(folder, 'root');
  mkdirSync(path.join(root, 'sub'), { recursive: true });
  const secret = put('secret.json', 'secret');
  writeFileSync(path.join(root, 'sub', 'in.json'), 'in');
  symlinkSync(secret, path.join(root, 'link.json'));
  symlinkSync(folder, path.join(root, 'up'));
  symlinkSync(path.join(folder, 'nowhere'), path.join(root, 'dangling.json'));
  mkdirSync(path.join(folder, 'root-beside'));
  writeFileSync(path.join(folder, 'root-beside', 'x.json'), 'x');

  test('inside: existing and new names', async () => {
    expect(await inside(root, 'sub/in.json')).toBe(path.join(root, 'sub', 'in.json'));
    expect(await inside(root, 'new.json')).toBe(path.join(root, 'new.json'));
  });
  test.each([
    '../secret.json',
    '..',
    '.',
    '',
    secret,
    'link.json',
    'up/secret.json',
    'dangling.json',
    '../root-beside/x.json',
  ])('outside: %s', async (name) => {
    expect(await inside(root, name)).toBeNull();
  });
});
