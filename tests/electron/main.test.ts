import { EventEmitter } from 'node:events';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { BrowserWindowConstructorOptions } from 'electron';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { START } from '../../electron/desktop/shell.ts';
import type { Bridge } from '../../src/bridge.ts';

// Main and preload run against a stand-in for Electron that records what they ask of it. The real one: electron.slow.test.ts.
type Listener = (...args: never[]) => unknown;
const fake = vi.hoisted(() => ({
  sandboxed: false,
  windows: [] as BrowserWindowConstructorOptions[],
  loaded: [] as string[],
  schemes: [] as unknown[],
  exposed: {} as Record<string, Record<string, unknown>>,
  handled: new Map<string, Listener>(),
  permissions: new Map<string, Listener>(),
  invoked: [] as unknown[][],
  answer: { value: null } as unknown,
  protocol: null as Listener | null,
  dialogs: { save: '' as string, open: '' as string, leave: 2 },
  destroyed: 0,
  closed: 0,
  sent: [] as unknown[][],
}));
const root = mkdtempSync(path.join(os.tmpdir(), 'bathtide-main-'));
const appEvents = new EventEmitter();
const ipcEvents = new EventEmitter();
let windowEvents = new EventEmitter();
const mainFrame = { url: START };

vi.mock('electron', async () => {
  const { EventEmitter } = await import('node:events');
  class BrowserWindow extends EventEmitter {
    webContents = Object.assign(new EventEmitter(), {
      send: (...args: unknown[]) => fake.sent.push(args),
      mainFrame,
      printToPDF: async () => Buffer.from('%PDF'),
    });
    constructor(options: BrowserWindowConstructorOptions) {
      super();
      fake.windows.push(options);
      windowEvents = this;
    }
    loadURL = async (url: string) => void fake.loaded.push(url);
    show() {}
    focus() {}
    setDocumentEdited() {}
    destroy = () => fake.destroyed++;
    close = () => fake.closed++;
  }
  const keep = (name: string) => (listener: Listener) => void fake.permissions.set(name, listener);
  return {
    app: Object.assign(appEvents, {
      enableSandbox: () => {
        fake.sandboxed = true;
      },
      getAppPath: () => root,
      getPath: () => root,
      isPackaged: true,
      requestSingleInstanceLock: () => true,
      whenReady: async () => undefined,
      quit() {},
      exit() {},
    }),
    BrowserWindow,
    contextBridge: {
      exposeInMainWorld: (name: string, api: Record<string, unknown>) => {
        fake.exposed[name] = api;
      },
    },
    dialog: {
      showSaveDialog: async () => ({ canceled: fake.dialogs.save === '', filePath: fake.dialogs.save }),
      showOpenDialog: async () => ({ canceled: fake.dialogs.open === '', filePaths: [fake.dialogs.open] }),
      showMessageBoxSync: () => fake.dialogs.leave,
    },
    ipcMain: { handle: (channel: string, listener: Listener) => void fake.handled.set(channel, listener) },
    ipcRenderer: Object.assign(ipcEvents, {
      invoke: async (...args: unknown[]) => {
        fake.invoked.push(args);
        return fake.answer;
      },
    }),
    Menu: { buildFromTemplate: (template: unknown) => template, setApplicationMenu() {} },
    protocol: {
      registerSchemesAsPrivileged: (schemes: unknown[]) => fake.schemes.push(...schemes),
      handle: (_scheme: string, listener: Listener) => {
        fake.protocol = listener;
      },
    },
    session: {
      defaultSession: {
        setPermissionRequestHandler: keep('request'),
        setPermissionCheckHandler: keep('check'),
        setDevicePermissionHandler: keep('device'),
        webRequest: { onBeforeRequest: keep('fetch') },
      },
    },
  };
});

beforeAll(async () => {
  vi.stubEnv('BATHTIDE_CONFIG', path.join(root, 'config'));
  await import('../../electron/desktop/main.ts');
  await vi.waitFor(() => expect(fake.handled.size).toBeGreaterThan(0));
  await import('../../electron/desktop/preload.ts');
});
afterAll(() => rmSync(root, { recursive: true }));

const call = (name: string, ...args: unknown[]) =>
  fake.handled.get(`bathtide:${name}`)?.({ senderFrame: mainFrame } as never, ...(args as never[]));

test('one window, sandboxed, isolated, without Node, on our own scheme', () => {
  expect(fake.sandboxed).toBe(true);
  expect(fake.loaded).toEqual([START]);
  expect(fake.windows).toHaveLength(1);
  expect(fake.windows[0]?.webPreferences).toMatchObject({
    contextIsolation: true,
    sandbox: true,
    nodeIntegration: false,
    nodeIntegrationInWorker: false,
    nodeIntegrationInSubFrames: false,
    webSecurity: true,
    allowRunningInsecureContent: false,
    experimentalFeatures: false,
    webviewTag: false,
  });
  expect(fake.windows[0]?.webPreferences?.preload).toMatch(/preload\.cjs$/);
  expect(fake.schemes).toEqual([
    { scheme: 'app', privileges: { standard: true, secure: true, supportFetchAPI: true } },
  ]);
});

test('every permission is denied', () => {
  const decide = vi.fn();
  for (const permission of ['media', 'geolocation', 'clipboard-read', 'fileSystem']) {
    fake.permissions.get('request')?.(null as never, permission as never, decide as never);
    expect(fake.permissions.get('check')?.(null as never, permission as never)).toBe(false);
  }
  expect(decide.mock.calls).toEqual([[false], [false], [false], [false]]);
  expect(fake.permissions.get('device')?.()).toBe(false);
});

test('no request leaves the machine', () => {
  const cancelled = (url: string) => {
    const decide = vi.fn();
    fake.permissions.get('fetch')?.({ url } as never, decide as never);
    return decide.mock.calls[0]?.[0].cancel;
  };
  for (const url of [START, 'blob:app://bundle/1', 'data:image/png;base64,AA'])
    expect(cancelled(url)).toBe(false);
  for (const url of [
    'https://example.org/',
    'http://127.0.0.1/',
    'ws://127.0.0.1/',
    'file:///etc/passwd',
    'ftp://x/',
  ]) {
    expect(cancelled(url)).toBe(true);
  }
});

test('a page navigates nowhere else, opens no window, embeds nothing', () => {
  let decide = (): unknown => null;
  const contents = Object.assign(new EventEmitter(), {
    setWindowOpenHandler: (handler: () => unknown) => {
      decide = handler;
    },
  });
  appEvents.emit('web-contents-created', {}, contents);
  const prevented = (event: string, url: string) => {
    const preventDefault = vi.fn();
    contents.emit(event, { url, preventDefault });
    return preventDefault.mock.calls.length > 0;
  };
  for (const event of ['will-navigate', 'will-redirect']) {
    expect(prevented(event, 'https://example.org/')).toBe(true);
    expect(prevented(event, 'file:///etc/passwd')).toBe(true);
    expect(prevented(event, START)).toBe(false);
  }
  expect(prevented('will-attach-webview', START)).toBe(true);
  expect(decide()).toEqual({ action: 'deny' });
});

test('the scheme serves the built app under the policy, and nothing outside', async () => {
  mkdirSync(path.join(root, 'dist', 'app'), { recursive: true });
  writeFileSync(path.join(root, 'dist', 'app', 'index.html'), '<script nonce="BATHTIDE_NONCE">');
  const get = async (url: string) => (await fake.protocol!({ url } as never)) as Response;
  const page = await get(START);
  expect(page.headers.get('cross-origin-embedder-policy')).toBe('require-corp');
  const nonce = /nonce="([^"]+)"/.exec(await page.text())?.[1];
  expect(page.headers.get('content-security-policy')).toContain(`style-src 'self' 'nonce-${nonce}'`);
  for (const url of [
    'app://bundle/../package.json',
    'app://bundle/..%2f..%2fpackage.json',
    'app://other/index.html',
  ]) {
    expect((await get(url)).status).toBe(404);
  }
});

test('questions from another frame are refused', async () => {
  const evil = { senderFrame: { url: START } };
  expect(await fake.handled.get('bathtide:recent')?.(evil as never)).toEqual({
    error: 'Only the app itself may ask this.',
  });
});

test('save as, save, export and print write what the user chose, and nothing when they do not', async () => {
  const file = path.join(root, 'week.json');
  expect(await call('saveAs', 'week.json', 'x')).toEqual({ value: null });
  fake.dialogs.save = file;
  const saved = await call('saveAs', 'week.json', 'one');
  expect(saved).toMatchObject({ value: { name: 'week.json' } });
  const { value } = saved as { value: { handle: string; digest: string } };
  await call('save', value.handle, 'two', value.digest);
  expect(readFileSync(file, 'utf8')).toBe('two');
  fake.dialogs.open = file;
  expect(await call('open')).toMatchObject({ value: { name: 'week.json', text: 'two' } });
  fake.dialogs.save = path.join(root, 'week.pdf');
  expect(await call('printPdf', 'week.pdf')).toMatchObject({ value: { name: 'week.pdf' } });
  expect(readFileSync(fake.dialogs.save, 'utf8')).toBe('%PDF');
  expect(await call('saveAs', '../x', 'one')).toMatchObject({ error: expect.stringMatching(/no file name/) });
});

test('closing with unsaved edits asks: stay, close without saving, or save and then close', async () => {
  const close = () => {
    const preventDefault = vi.fn();
    windowEvents.emit('close', { preventDefault });
    return preventDefault.mock.calls.length > 0;
  };
  expect(close()).toBe(false);
  await call('setUnsaved', true, false);
  expect(close()).toBe(true);
  expect([fake.destroyed, fake.closed]).toEqual([0, 0]);
  fake.dialogs.leave = 1;
  close();
  expect(fake.destroyed).toBe(1);
  fake.dialogs.leave = 0;
  close();
  expect(fake.sent.at(-1)).toEqual(['bathtide:menu', 'save']);
  // The save is broken off: the window stays open, also after a later save.
  fake.dialogs.save = '';
  await call('saveAs', 'week.json', 'x');
  await call('setUnsaved', false, false);
  expect(fake.closed).toBe(0);
  await call('setUnsaved', true, false);
  close();
  await call('setUnsaved', false, false);
  expect(fake.closed).toBe(1);
});

test('closing with kept variants asks, after edits are saved too', async () => {
  const close = () => {
    const preventDefault = vi.fn();
    windowEvents.emit('close', { preventDefault });
    return preventDefault.mock.calls.length > 0;
  };
  const { destroyed, closed } = fake;
  await call('setUnsaved', false, true);
  fake.dialogs.leave = 1; // Stay
  expect(close()).toBe(true);
  expect(fake.destroyed).toBe(destroyed);
  fake.dialogs.leave = 0; // Close without them
  expect(close()).toBe(true);
  expect(fake.destroyed).toBe(destroyed + 1);
  await call('setUnsaved', true, true);
  close(); // Save
  await call('setUnsaved', false, true);
  expect(fake.closed).toBe(closed + 1);
  await call('setUnsaved', false, false);
  expect(close()).toBe(false);
});

test('the preload exposes the bridge, name by name, and nothing else', async () => {
  const names: Record<keyof Bridge, true> = {
    host: true,
    initial: true,
    open: true,
    openRecent: true,
    recent: true,
    save: true,
    look: true,
    versions: true,
    changes: true,
    version: true,
    record: true,
    note: true,
    keepDraft: true,
    drafts: true,
    forgetDraft: true,
    saveAs: true,
    exportFile: true,
    printPdf: true,
    onMenu: true,
    setUnsaved: true,
  };
  expect(Object.keys(fake.exposed)).toEqual(['bathtide']);
  const bridge = fake.exposed.bathtide as unknown as Bridge;
  expect(Object.keys(bridge).sort()).toEqual(Object.keys(names).sort());
  fake.answer = { value: 1 };
  await bridge.openRecent('h');
  expect(fake.invoked.at(-1)).toEqual(['bathtide:openRecent', 'h']);
  fake.answer = { error: 'week.json is gone' };
  await expect(bridge.recent()).rejects.toThrow(/^week\.json is gone$/);
  const heard: unknown[] = [];
  const stop = bridge.onMenu((...args) => heard.push(args));
  ipcEvents.emit('bathtide:menu', { sender: 'secret' }, 'save');
  stop();
  ipcEvents.emit('bathtide:menu', {}, 'open');
  expect(heard).toEqual([['save']]);
});
