import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import {
  ARGUMENTS,
  answer,
  type Call,
  type Handlers,
  isOurs,
  KEPT,
  menu,
  START,
  UNSAVED,
} from '../../electron/desktop/shell.ts';
import { HostError } from '../../electron/files/files.ts';
import { configDir, documentsDir } from '../../electron/files/places.ts';
import type { MenuCommand } from '../../src/bridge.ts';

test.each([START, 'app://bundle/', 'app://bundle/assets/x.js?y#z', 'APP://bundle/'])('%s is ours', (url) => {
  expect(isOurs(url)).toBe(true);
});
test.each([
  'https://bundle/',
  'http://127.0.0.1/',
  'file:///index.html',
  'app://bundle.evil.example/',
  'app://evil@other/',
  'app://bundle:1/',
  'app:bundle',
  'javascript:1',
  'data:text/html,x',
  'blob:app://bundle/1',
  'about:blank',
  'null',
  '',
])('%j is not ours: no navigation there, no question from there', (url) => {
  expect(isOurs(url)).toBe(false);
});

describe('questions of a page', () => {
  const ours = { url: START, top: true };
  const said: unknown[] = [];
  const act = async (...args: unknown[]) => args;
  const calls = Object.keys(ARGUMENTS) as Call[];
  const handlers = Object.fromEntries(calls.map((call) => [call, act])) as unknown as Handlers;
  const asked = (
    call: Call,
    args: unknown[],
    sender: { url: string; top: boolean } | null = ours,
    acts = handlers,
  ) => answer(acts, call, sender, args, (error) => said.push(error));
  const id = crypto.randomUUID();

  test('are answered when sender and arguments are right', async () => {
    expect(await asked('save', [id, 'text', null])).toEqual({ value: [id, 'text', null] });
    expect(await asked('exportFile', ['a.csv', new Uint8Array(2)])).toEqual({
      value: ['a.csv', new Uint8Array(2)],
    });
  });
  test.each([
    ['another page', { url: 'https://evil.example/', top: true }],
    ['a frame inside', { url: START, top: false }],
    ['a frame that is gone', null],
  ])('%s is refused, whatever it asks', async (_who, sender) => {
    for (const call of calls)
      expect(await asked(call, [], sender)).toEqual({ error: 'Only the app itself may ask this.' });
  });
  test.each<[Call, unknown[]]>([
    ['openRecent', ['/etc/passwd']],
    ['openRecent', []],
    ['save', [id]],
    ['save', [id, 'text', 'no digest']],
    ['save', [id, 'text']],
    ['save', [id, 'text', null, 'more']],
    ['save', [id, { toString: 1 }, null]],
    ['saveAs', ['x'.repeat(401), 'text']],
    ['exportFile', ['a.csv', 'text']],
    ['setUnsaved', ['true', false]],
    ['setUnsaved', [true]],
    ['initial', [1]],
  ])('%s(%j) is refused', async (call, args) => {
    expect(await asked(call, args)).toEqual({ error: 'The request is not of the agreed shape.' });
  });
  test('a fault for the user keeps its words; a fault of ours is logged and tells nothing', async () => {
    const failing = (error: Error) => ({ ...handlers, recent: () => Promise.reject(error) });
    expect(await asked('recent', [], ours, failing(new HostError('disk full')))).toEqual({
      error: 'disk full',
    });
    expect(said).toEqual([]);
    const ours2 = new Error('/home/someone/x');
    expect(JSON.stringify(await asked('recent', [], ours, failing(ours2)))).not.toContain('someone');
    expect(said).toEqual([ours2]);
  });
});

test('the menu sends each command, each under one key', () => {
  for (const mac of [false, true]) {
    const sent: MenuCommand[] = [];
    const items = menu((command) => sent.push(command), mac).flatMap((top) =>
      Array.isArray(top.submenu) ? top.submenu : [],
    );
    for (const item of items) item.click?.(undefined as never, undefined, undefined as never);
    const every: Record<MenuCommand, true> = {
      new: true,
      open: true,
      save: true,
      'save-as': true,
      print: true,
      undo: true,
      redo: true,
      find: true,
    };
    expect(sent.sort()).toEqual(Object.keys(every).sort());
    const keys = items.flatMap((item) => (item.accelerator ? [item.accelerator] : []));
    expect(new Set(keys).size).toBe(keys.length);
    const roles = items.map((item) => item.role);
    for (const role of ['toggleDevTools', 'reload', 'forceReload']) expect(roles).not.toContain(role);
  }
});

test('the question before edits are lost: Enter saves, Escape stays', () => {
  expect(UNSAVED.meaning[UNSAVED.defaultId]).toBe('save');
  expect(UNSAVED.meaning[UNSAVED.cancelId]).toBe('stay');
  expect(UNSAVED.meaning).toHaveLength(UNSAVED.buttons.length);
  // Variants have no file: an accidental close must not lose them.
  expect(KEPT.meaning[KEPT.defaultId]).toBe('stay');
  expect(KEPT.meaning[KEPT.cancelId]).toBe('stay');
  expect(KEPT.meaning).toHaveLength(KEPT.buttons.length);
});

test('places follow the habits of each system', () => {
  expect(configDir({}, 'linux', '/h')).toBe('/h/.config/bathtide');
  expect(configDir({ XDG_CONFIG_HOME: '/x' }, 'linux', '/h')).toBe('/x/bathtide');
  expect(configDir({}, 'darwin', '/h')).toBe('/h/Library/Application Support/Bathtide');
  expect(configDir({ BATHTIDE_CONFIG: '/mine' }, 'linux', '/h')).toBe('/mine');
  expect(documentsDir({}, '/nowhere')).toBe('/nowhere/Bathtide');
  expect(documentsDir({ BATHTIDE_FOLDER: '/mine' }, '/nowhere')).toBe('/mine');
});

// Electron's own list of fuses and what each should be: its tutorials "fuses" and "security".
test('the packed app is fused shut', () => {
  const { electronFuses, asar } = JSON.parse(readFileSync('electron/package/packaging.json', 'utf8'));
  expect(asar).toBe(true);
  expect(electronFuses).toEqual({
    runAsNode: false,
    enableCookieEncryption: true,
    enableNodeOptionsEnvironmentVariable: false,
    enableNodeCliInspectArguments: false,
    enableEmbeddedAsarIntegrityValidation: true,
    onlyLoadAppFromAsar: true,
    grantFileProtocolExtraPrivileges: false,
  });
});
