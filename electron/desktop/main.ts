import path from 'node:path';
import { parseArgs } from 'node:util';
import { app, BrowserWindow, dialog, ipcMain, Menu, protocol, session } from 'electron';
import type { MenuCommand } from '../../src/bridge.ts';
import { HostError, plainName } from '../files/files.ts';
import { placesOf } from '../files/places.ts';
import { type Asking, createServices } from '../files/services.ts';
import { asset } from '../local/assets.ts';
import {
  ARGUMENTS,
  answer,
  type Call,
  type Handlers,
  isOurs,
  KEPT,
  menu,
  SCHEME,
  START,
  UNSAVED,
  WEB_PREFERENCES,
} from './shell.ts';

app.enableSandbox();
protocol.registerSchemesAsPrivileged([
  { scheme: SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true } },
]);

const root = app.getAppPath();
const { values, positionals } = parseArgs({
  args: process.argv.slice(app.isPackaged ? 1 : 2),
  options: { folder: { type: 'string', multiple: true } },
  allowPositionals: true,
  strict: false, // Chromium's own switches come along
});
const folders = (values.folder ?? []).filter((one) => typeof one === 'string');
const places = placesOf({ root, file: positionals[0] ?? null, folders });
const services = createServices(places);
/** There is one window, and what an earlier one left is offered to it. */
const ASKING: Asking = { page: 'window', open: new Set() };
const JSON_FILES = [{ name: 'Bathtide scenario', extensions: ['json'] }];

let unsaved = false;
let variants = false;
/** Set while a save that the closing asked for is under way. */
let closing = false;

function openWindow() {
  const window = new BrowserWindow({
    width: 1440,
    height: 900,
    minWidth: 900,
    minHeight: 600,
    title: 'Bathtide',
    show: false,
    webPreferences: { ...WEB_PREFERENCES, preload: path.join(__dirname, 'preload.cjs') },
  });
  window.once('ready-to-show', () => window.show());
  const send = (command: MenuCommand) => window.webContents.send('bathtide:menu', command);
  Menu.setApplicationMenu(Menu.buildFromTemplate(menu(send, process.platform === 'darwin')));
  window.on('close', (event) => {
    if (!unsaved && !variants) return;
    event.preventDefault();
    const { meaning, ...question } = unsaved ? UNSAVED : KEPT;
    const choice = meaning[dialog.showMessageBoxSync(window, { type: 'warning', ...question })];
    if (choice === 'discard') window.destroy();
    if (choice === 'save') {
      closing = true;
      send('save');
    }
  });
  void window.loadURL(START);
  return window;
}

function handlersFor(window: BrowserWindow): Handlers {
  const askWhere = async (suggested: string, filters?: typeof JSON_FILES) => {
    const defaultPath = path.join(app.getPath('documents'), plainName(suggested));
    const { canceled, filePath } = await dialog.showSaveDialog(window, { defaultPath, filters });
    return canceled || !filePath ? null : filePath;
  };
  const write = async (suggested: string, bytes: Uint8Array, keep: boolean) => {
    const file = await askWhere(suggested, keep ? JSON_FILES : undefined);
    return file === null ? null : services.saveChosen(file, bytes, keep);
  };
  /** A save that fails, or that the user breaks off, also ends the closing that asked for it. */
  const orStay = async <T>(saving: Promise<T>): Promise<T> => {
    let done: T | null = null;
    try {
      done = await saving;
      return done;
    } finally {
      if (done === null) closing = false;
    }
  };
  return {
    initial: () => services.initial(),
    async open() {
      const { canceled, filePaths } = await dialog.showOpenDialog(window, {
        properties: ['openFile'],
        filters: JSON_FILES,
      });
      const file = filePaths[0];
      return canceled || file === undefined ? null : services.openChosen(file);
    },
    openRecent: (handle) => services.openHandle(handle),
    recent: () => services.recent(),
    // A save that is refused as stale has not happened: the window stays for its question.
    async save(handle, text, base) {
      const saved = await orStay(services.save(handle, { text, base, page: ASKING.page }));
      if ('newer' in saved) closing = false;
      return saved;
    },
    look: (handle, sum) => services.look(handle, sum, ASKING),
    versions: (handle) => services.versions(handle),
    changes: (handle) => services.changes(handle),
    version: (handle, id) => services.version(handle, id),
    record: (handle, known) => services.record(handle, known),
    note: (handle, station, drafts) => services.note(handle, station, drafts),
    keepDraft: (draft) => services.keepDraft(draft, ASKING),
    drafts: () => services.drafts(ASKING),
    forgetDraft: (id) => services.forgetDraft(id, ASKING),
    saveAs: (name, text) => orStay(write(name, new TextEncoder().encode(text), true)),
    exportFile: (name, bytes) => write(name, bytes, false),
    async printPdf(name) {
      const file = await askWhere(name, [{ name: 'PDF', extensions: ['pdf'] }]);
      if (file === null) return null;
      const pdf = await window.webContents.printToPDF({ preferCSSPageSize: true, printBackground: true });
      return services.saveChosen(file, pdf, false);
    },
    async setUnsaved(now, kept) {
      unsaved = now;
      variants = kept;
      if (!now && closing) window.close();
      closing = false;
      window.setDocumentEdited(now);
    },
  };
}

// Whatever page there is: it stays where it is, opens nothing, embeds nothing.
app.on('web-contents-created', (_event, contents) => {
  contents.on('will-navigate', (event) => {
    if (!isOurs(event.url)) event.preventDefault();
  });
  contents.on('will-redirect', (event) => {
    if (!isOurs(event.url)) event.preventDefault();
  });
  contents.on('will-attach-webview', (event) => event.preventDefault());
  contents.setWindowOpenHandler(() => ({ action: 'deny' }));
});
app.on('window-all-closed', () => app.quit());

if (!app.requestSingleInstanceLock()) {
  console.error('Bathtide is already open; open the file from its window.');
  app.quit();
} else
  void app
    .whenReady()
    .then(() => {
      const { defaultSession } = session;
      defaultSession.setPermissionRequestHandler((_contents, _permission, decide) => decide(false));
      defaultSession.setPermissionCheckHandler(() => false);
      defaultSession.setDevicePermissionHandler(() => false);
      // No request leaves the machine: the app's own scheme and what a page holds in memory, nothing else.
      defaultSession.webRequest.onBeforeRequest((request, decide) => {
        decide({ cancel: !(isOurs(request.url) || /^(blob|data|devtools):/.test(request.url)) });
      });
      const served = path.join(root, 'dist', 'app');
      protocol.handle(SCHEME, async (request) => {
        const found = isOurs(request.url) ? await asset(served, new URL(request.url).pathname) : null;
        return found
          ? new Response(found.body, { headers: found.headers })
          : new Response('Not found', { status: 404 });
      });
      const window = openWindow();
      app.on('second-instance', () => window.focus());
      const handlers = handlersFor(window);
      for (const call of Object.keys(ARGUMENTS) as Call[]) {
        ipcMain.handle(`bathtide:${call}`, (event, ...args: unknown[]) => {
          const frame = event.senderFrame;
          const sender = frame && { url: frame.url, top: frame === window.webContents.mainFrame };
          return answer(handlers, call, sender, args, (error) => console.error(error));
        });
      }
    })
    .catch((error: unknown) => {
      console.error(error instanceof HostError ? error.message : error);
      app.exit(1);
    });
