import type {
  Bridge,
  FileRef,
  Folder,
  KeptDraft,
  MenuCommand,
  OpenedFile,
  Saved,
  Version,
} from '../../bridge.ts';
import { askOpen, askSave } from '../panels/FileDialog.tsx';
import { snapshot } from '../print/snapshot.ts';

const GONE =
  'The host of this page has ended. Your edits are still here: "Save as" and then "Download" keeps them. Then start Bathtide again.';
/** Until the first paint and its loading are over; the host waits longer than that for a page. */
const ALIVE_AFTER_MS = 5_000;

const KEY = 'bathtide-key';
/** The page's own key came behind the # of its address: it goes to this origin alone, and a reload has it still. */
const key = (() => {
  const given = new URLSearchParams(location.hash.slice(1)).get('key');
  if (given !== null) {
    sessionStorage.setItem(KEY, given);
    history.replaceState(null, '', location.pathname);
  }
  return given ?? sessionStorage.getItem(KEY) ?? '';
})();

async function ask<T>(name: string, body: unknown, query: Readonly<Record<string, string>> = {}): Promise<T> {
  const bytes = body instanceof Uint8Array;
  const parameters = new URLSearchParams(query).toString();
  let response: Response;
  let answer: { value: T } | { error: string };
  try {
    response = await fetch(`./api/${name}${parameters ? `?${parameters}` : ''}`, {
      method: 'POST',
      headers: { 'X-Bathtide': key, 'Content-Type': bytes ? 'application/octet-stream' : 'application/json' },
      body: bytes ? (body as Uint8Array<ArrayBuffer>) : JSON.stringify(body),
    });
    answer = (await response.json()) as typeof answer;
  } catch {
    throw new Error(GONE);
  }
  if ('error' in answer) throw new Error(answer.error);
  return answer.value;
}

/** Holds an answer open until the page ends; begins again where it breaks off while the host lives. */
async function stayInTouch(): Promise<void> {
  try {
    const response = await fetch('./api/alive', { headers: { 'X-Bathtide': key } });
    const reader = response.body?.getReader();
    while (reader && !(await reader.read()).done);
  } catch {
    // The host is gone, or the computer slept.
  }
  setTimeout(() => void stayInTouch(), ALIVE_AFTER_MS);
}

/** Into the browser's downloads; the file is out of reach after that, hence never written back. */
function download(name: string, bytes: Uint8Array): FileRef {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([bytes as Uint8Array<ArrayBuffer>]));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  return { handle: '', name, readOnly: true };
}

/** An empty list where the host is gone: downloading still works then. */
const folders = () => ask<Folder[]>('folders', {}).catch((): Folder[] => []);

const save = async (title: string, name: string, bytes: Uint8Array, keep: boolean): Promise<FileRef | null> =>
  askSave({
    title,
    name,
    folders: (await folders()).filter((folder) => !folder.readOnly),
    save: (folder, as, overwrite) =>
      ask<FileRef | null>('write', bytes, {
        folder,
        name: as,
        overwrite: String(overwrite),
        keep: String(keep),
      }),
    download: (as) => download(as, bytes),
  });

const open = (handle: string) => ask<OpenedFile>('open', { handle });
const recent = () => ask<FileRef[]>('recent', {});

const KEYS: Readonly<Record<string, MenuCommand>> = {
  s: 'save',
  'shift+s': 'save-as',
  o: 'open',
  p: 'print',
  f: 'find',
  z: 'undo',
  'shift+z': 'redo',
  y: 'redo',
};
const isTyping = (target: EventTarget | null) =>
  target instanceof HTMLElement &&
  (target.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName));

let wouldLose = false;
const askBeforeLeaving = (event: BeforeUnloadEvent) => {
  if (wouldLose) event.preventDefault();
};

/** The bridge where the app runs in a browser, served by the local host. */
export const bridge: Bridge = {
  host: 'browser',
  initial() {
    window.addEventListener('beforeunload', askBeforeLeaving);
    // One connection that stands as long as the page tells the host when its last page is gone.
    setTimeout(() => void stayInTouch(), ALIVE_AFTER_MS);
    return ask('initial', {});
  },
  async open() {
    const listed = await folders();
    return askOpen({ folders: listed, recent: await recent().catch(() => []), open });
  },
  openRecent: open,
  recent,
  async save(handle, text, base) {
    if (handle === '')
      throw new Error('This file was only lent by the browser. Use "Save as" to keep your edits.');
    return ask<Saved>('save', { handle, text, base });
  },
  look: (handle, digest) => ask('look', { handle, digest }),
  versions: (handle) => ask<Version[]>('versions', { handle }),
  changes: (handle) => (handle === '' ? Promise.resolve([]) : ask('changes', { handle })),
  version: (handle, id) => ask<string>('version', { handle, id }),
  record: (handle, known) => (handle === '' ? Promise.resolve([]) : ask('record', { handle, known })),
  async note(handle, station, drafts) {
    if (handle === '')
      throw new Error('Nothing was noted. Save the scenario first: its record lies beside it.');
    return ask('note', { handle, station, drafts });
  },
  keepDraft: (draft) => ask('keepDraft', { draft }),
  drafts: () => ask<KeptDraft[]>('drafts', {}),
  forgetDraft: (id) => ask('forgetDraft', { id }),
  saveAs: (suggestedName, text) =>
    save('Save scenario as', suggestedName, new TextEncoder().encode(text), true),
  exportFile: (suggestedName, bytes) => save('Export as', suggestedName, bytes, false),
  async printPdf(suggestedName) {
    const pdf = await ask<string | null>('pdf', { html: await snapshot() });
    if (pdf === null) {
      window.print(); // no Chromium beside the host: the browser's own dialog can print to a PDF too
      return null;
    }
    const bytes = Uint8Array.from(atob(pdf), (letter) => letter.charCodeAt(0));
    return save('Save PDF as', suggestedName, bytes, false);
  },
  /** A browser tab has no menu; its usual keys stand in, unless a part of the page has already answered them. */
  onMenu(listener) {
    const press = (event: KeyboardEvent) => {
      if (event.defaultPrevented || event.altKey || !(event.ctrlKey || event.metaKey)) return;
      const command = KEYS[`${event.shiftKey ? 'shift+' : ''}${event.key.toLowerCase()}`];
      if (!command || ((command === 'undo' || command === 'redo') && isTyping(event.target))) return;
      event.preventDefault();
      listener(command);
    };
    window.addEventListener('keydown', press);
    return () => window.removeEventListener('keydown', press);
  },
  setUnsaved(unsaved, variants) {
    wouldLose = unsaved || variants;
  },
};
