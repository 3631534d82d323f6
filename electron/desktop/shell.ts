import type { MenuItemConstructorOptions, WebPreferences } from 'electron';
import { z } from 'zod';
import type { MenuCommand } from '../../src/bridge.ts';
import { draftShape } from '../files/drafts.ts';
import { HostError } from '../files/files.ts';

// What Electron's main process decides, apart from Electron itself, so that it is tested without its binary.

export const SCHEME = 'app';
export const START = `${SCHEME}://bundle/index.html`;

/** Is this URL a page of the app? By scheme and host: the `origin` of an own scheme reads "null". */
export function isOurs(url: string): boolean {
  if (!URL.canParse(url)) return false;
  const { protocol, host } = new URL(url);
  return protocol === `${SCHEME}:` && host === 'bundle';
}

/** Everything that Electron can lock, locked; said aloud even where it is the default. */
export const WEB_PREFERENCES: WebPreferences = {
  contextIsolation: true,
  sandbox: true,
  nodeIntegration: false,
  nodeIntegrationInWorker: false,
  nodeIntegrationInSubFrames: false,
  webSecurity: true,
  allowRunningInsecureContent: false,
  experimentalFeatures: false,
  webviewTag: false,
  navigateOnDragDrop: false,
  spellcheck: false, // would fetch dictionaries
};

const handle = z.uuid();
const name = z.string().max(400);
const sum = z.string().regex(/^[0-9a-f]{64}$/);

/** What a page may ask, and with which arguments; anything else is refused before it is looked at. */
export const ARGUMENTS = {
  initial: z.tuple([]),
  open: z.tuple([]),
  openRecent: z.tuple([handle]),
  recent: z.tuple([]),
  save: z.tuple([handle, z.string(), sum.nullable()]),
  look: z.tuple([handle, sum]),
  versions: z.tuple([handle]),
  changes: z.tuple([handle]),
  version: z.tuple([handle, z.string().max(80)]),
  record: z.tuple([handle, z.record(z.string().max(60), z.int().min(0))]),
  note: z.tuple([handle, z.string().max(60), z.array(z.looseObject({})).max(200)]),
  keepDraft: z.tuple([draftShape.nullable()]),
  drafts: z.tuple([]),
  forgetDraft: z.tuple([z.string().max(80)]),
  saveAs: z.tuple([name, z.string()]),
  exportFile: z.tuple([name, z.instanceof(Uint8Array)]),
  printPdf: z.tuple([name]),
  setUnsaved: z.tuple([z.boolean(), z.boolean()]),
} as const;
export type Call = keyof typeof ARGUMENTS;
/** Errors cross the door as values, so that their words arrive without Electron's own around them. */
export type Answer = { readonly value: unknown } | { readonly error: string };
export type Handlers = {
  readonly [C in Call]: (...args: z.infer<(typeof ARGUMENTS)[C]>) => Promise<unknown>;
};

interface Sender {
  readonly url: string;
  /** the window's own frame, no frame inside it */
  readonly top: boolean;
}

/** Judge the sender, judge the arguments, act, and put the outcome into words. `log` gets faults of ours. */
export async function answer(
  handlers: Handlers,
  call: Call,
  sender: Sender | null,
  args: readonly unknown[],
  log: (error: unknown) => void,
): Promise<Answer> {
  if (!sender?.top || !isOurs(sender.url)) return { error: 'Only the app itself may ask this.' };
  const parsed = ARGUMENTS[call].safeParse(args);
  if (!parsed.success) return { error: 'The request is not of the agreed shape.' };
  try {
    const act = handlers[call] as (...args: readonly unknown[]) => Promise<unknown>;
    return { value: await act(...parsed.data) };
  } catch (error) {
    if (error instanceof HostError) return { error: error.message };
    log(error);
    return { error: 'The shell failed; see the window that Bathtide was started from.' };
  }
}

/** The native menu. Editing commands that act on text stay the system's own; undo and redo are the app's. */
export function menu(send: (command: MenuCommand) => void, mac: boolean): MenuItemConstructorOptions[] {
  const item = (label: string, accelerator: string, command: MenuCommand): MenuItemConstructorOptions => ({
    label,
    accelerator,
    click: () => send(command),
  });
  const line: MenuItemConstructorOptions = { type: 'separator' };
  const file: MenuItemConstructorOptions[] = [
    item('New', 'CmdOrCtrl+N', 'new'),
    item('Open ...', 'CmdOrCtrl+O', 'open'),
    line,
    item('Save', 'CmdOrCtrl+S', 'save'),
    item('Save as ...', 'CmdOrCtrl+Shift+S', 'save-as'),
    line,
    item('Print ...', 'CmdOrCtrl+P', 'print'),
    line,
    { role: mac ? 'close' : 'quit' },
  ];
  const edit: MenuItemConstructorOptions[] = [
    item('Undo', 'CmdOrCtrl+Z', 'undo'),
    item('Redo', mac ? 'Cmd+Shift+Z' : 'Ctrl+Y', 'redo'),
    line,
    { role: 'cut' },
    { role: 'copy' },
    { role: 'paste' },
    { role: 'selectAll' },
    line,
    item('Find', 'CmdOrCtrl+F', 'find'),
  ];
  const view: MenuItemConstructorOptions[] = [
    { role: 'zoomIn' },
    { role: 'zoomOut' },
    { role: 'resetZoom' },
    line,
    { role: 'togglefullscreen' },
  ];
  return [
    ...(mac ? [{ role: 'appMenu' } as const] : []),
    { label: 'File', submenu: file },
    { label: 'Edit', submenu: edit },
    { label: 'View', submenu: view },
  ];
}

export type Leave = 'save' | 'discard' | 'stay';
/** The question before unsaved edits would be lost, with what each of its buttons means. */
export const UNSAVED = {
  message: 'This scenario has edits that are not saved.',
  detail: 'Closing now would lose them.',
  buttons: ['Save', 'Close without saving', 'Stay'],
  meaning: ['save', 'discard', 'stay'] as readonly Leave[],
  defaultId: 0,
  cancelId: 2,
};
/** The same before variants would be lost: a file holds one scenario, so there is nothing to save them in. */
export const KEPT: typeof UNSAVED = {
  message: 'Variants kept beside this scenario are in no file.',
  detail: 'Closing now would lose them. To keep one, take it and save it under a name of its own.',
  buttons: ['Close without them', 'Stay'],
  meaning: ['discard', 'stay'],
  defaultId: 1,
  cancelId: 1,
};
