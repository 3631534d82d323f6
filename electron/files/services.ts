import { promises as fs } from 'node:fs';
import path from 'node:path';
import type { Draft, FileRef, Folder, KeptDraft, ListedFile, OpenedFile, Saved } from '../../src/bridge.ts';
import type { Draft as Entry } from '../../src/record/entries.ts';
import { createDrafts } from './drafts.ts';
import {
  digest,
  HostError,
  inside,
  ownFolder,
  plainName,
  readText,
  withinLimit,
  writeWhole,
} from './files.ts';
import { createHandles, type Handles, type Known } from './handles.ts';
import { noteChanges, readHistory } from './history.ts';
import { recordFolder } from './journal.ts';
import { createRecent, type Recent } from './recent.ts';
import { createRecords } from './records.ts';
import { inTurn } from './turns.ts';
import { createVersions } from './versions.ts';

export interface ServiceOptions {
  /** Scenarios that come with the app: read, never written. */
  readonly examples: string;
  /** Folders the user chose, read and written; the first is the documents folder, made at the first save. */
  readonly folders: readonly string[];
  /** Folder of the list of recent files, of drafts and of kept versions. */
  readonly configDir: string;
  /** What to open first; a file the user named may be written, the demo may not. */
  readonly launch: { readonly file: string; readonly named: boolean };
}
/** Who asks: a page by a name of its own, and the pages that are open. */
export interface Asking {
  readonly page: string;
  readonly open: ReadonlySet<string>;
}
interface Saving {
  readonly text: string;
  /** digest of the content that the edits began from */
  readonly base: string | null;
  readonly page: string;
}
interface Root {
  readonly id: string;
  readonly folder: string;
  readonly readOnly: boolean;
}
interface Inner {
  readonly handles: Handles;
  readonly recent: Recent;
  readonly versions: ReturnType<typeof createVersions>;
  readonly drafts: ReturnType<typeof createDrafts>;
  readonly records: ReturnType<typeof createRecords>;
  readonly roots: readonly Root[];
  /** One save after the other, in the order asked for: an older one must not end up over a newer one. */
  readonly inOrder: <T>(save: () => Promise<T>) => Promise<T>;
}
const encode = (text: string) => new TextEncoder().encode(text);
export type Services = ReturnType<typeof createServices>;

function queue(): Inner['inOrder'] {
  let last: Promise<unknown> = Promise.resolve();
  return (save) => {
    const mine = last.then(save);
    last = mine.catch(() => undefined); // its own caller hears of it
    return mine;
  };
}

/** What a file holds now, or null when it is gone. */
async function present(place: string): Promise<{ text: string; digest: string } | null> {
  const there = await fs.stat(place).catch(() => null);
  return there && readText(place);
}

type Read = OpenedFile & { readonly digest: string };
async function openAs({ handles, recent }: Inner, ref: FileRef): Promise<Read> {
  const one = handles.lookUp(ref.handle);
  const read = await readText(await handles.placeOf(one));
  one.remember(read);
  if (!one.readOnly) await recent.add(one.file);
  return { ...ref, ...read };
}

/** @param at where the file really lies, links followed */
async function writeTo(
  { handles, recent, versions }: Inner,
  { file, at = file }: { file: string; at?: string },
  bytes: Uint8Array,
  keep: boolean,
): Promise<FileRef> {
  if (keep) withinLimit(path.basename(file), bytes);
  // What cannot be read is no scenario, so no prescription of it changes.
  const before = keep ? await present(at).catch(() => null) : null;
  await writeWhole(at, bytes);
  const ref = await handles.refer(file, false);
  await handles.settle(ref.handle);
  const sum = digest(bytes);
  if (keep) {
    const text = new TextDecoder().decode(bytes);
    handles.lookUp(ref.handle).remember({ text, digest: sum });
    await versions.keep(file, bytes);
    await recent.add(file);
    if (before) await noteChanges(file, before.text, text, new Date().toISOString());
  }
  return { ...ref, digest: sum };
}

/** Saves unless somebody else has since the page read `base`; then the newer content comes back, and nothing is written. */
async function saveOver(inner: Inner, one: Known, { text, base, page }: Saving): Promise<Saved> {
  const name = path.basename(one.file);
  if (one.readOnly)
    throw new HostError(`${name} is an example and stays as it came. Use "Save as" to keep your own copy.`);
  const bytes = encode(text);
  withinLimit(name, bytes);
  const place = await inner.handles.placeOf(one);
  return inTurn(place, async () => {
    const now = await present(place);
    const sum = digest(bytes);
    if (now && ![base, sum, one.savedBy.get(page)].includes(now.digest)) {
      const read = base === null ? null : one.read(base);
      one.remember(now);
      return { newer: now, base: read };
    }
    if (now) await inner.versions.keep(one.file, encode(now.text));
    await writeTo(inner, { file: one.file, at: place }, bytes, true);
    one.savedBy.set(page, sum);
    return { digest: sum };
  });
}

async function listFolder({ handles }: Inner, { id, folder, readOnly }: Root): Promise<Folder> {
  const entries = await fs.readdir(folder, { withFileTypes: true }).catch(() => []);
  const files = await Promise.all(
    entries
      .filter((entry) => entry.isFile() && /\.json$/i.test(entry.name) && !entry.name.startsWith('.'))
      .map(async (entry): Promise<ListedFile | null> => {
        const stat = await fs.stat(path.join(folder, entry.name)).catch(() => null); // taken away meanwhile
        if (!stat) return null;
        const ref = await handles.refer(path.join(folder, entry.name), readOnly);
        return { ...ref, bytes: stat.size, modified: stat.mtime.toISOString() };
      }),
  );
  const there = files.filter((file) => file !== null).sort((a, b) => a.name.localeCompare(b.name));
  return { id, name: readOnly ? 'Examples' : folder, readOnly, files: there };
}

/** Write into a listed folder; null, and nothing written, when the name is taken and `overwrite` is false. */
async function writeInFolder(
  inner: Inner,
  to: { folder: string; name: string; overwrite: boolean; keep: boolean },
  bytes: Uint8Array,
): Promise<FileRef | null> {
  const root = inner.roots.find((one) => one.id === to.folder && !one.readOnly);
  if (!root) throw new HostError('That folder is not one you may save in. Choose another.');
  const plain = plainName(to.name);
  await ownFolder(root.folder).catch(() => undefined); // the write below says why not
  const file = await inside(root.folder, plain);
  if (!file) throw new HostError(`${plain} is a link out of its folder. Choose another name.`);
  if (!to.overwrite && (await fs.stat(file).catch(() => null))) return null;
  return writeTo(inner, { file }, bytes, to.keep);
}

/** Each draft with its file as it is now, so that the page can go on or merge. */
async function offeredDrafts(inner: Inner, { page, open }: Asking): Promise<KeptDraft[]> {
  const found = await inner.drafts.offered(page, open);
  return Promise.all(
    found.map(async ({ file, ...draft }): Promise<KeptDraft> => {
      const open = async (name: string) => openAs(inner, await inner.handles.refer(name, false));
      const opened = file === null ? null : await open(file).catch(() => null); // gone meanwhile
      return { ...draft, handle: opened?.handle ?? null, file: opened };
    }),
  );
}

/**
 * The host's side of the bridge, the same under Electron and under the local host. A page holds opaque handles only:
 * a handle stands for a file that the user chose or that lies in a folder listed here; all else is out of reach.
 */
export function createServices(options: ServiceOptions) {
  const { configDir, launch } = options;
  const handles = createHandles();
  const inner: Inner = {
    handles,
    recent: createRecent(configDir),
    versions: createVersions(configDir),
    drafts: createDrafts(configDir),
    records: createRecords(options.folders[0] ?? configDir, () => new Date().toISOString()),
    roots: [
      ...options.folders.map((folder) => ({ folder: path.resolve(folder), readOnly: false })),
      { folder: path.resolve(options.examples), readOnly: true },
    ].map((root, index) => ({ ...root, id: String(index) })),
    inOrder: queue(),
  };
  const { inOrder, recent, versions, drafts, records, roots } = inner;
  const known = async (handle: string) => handles.lookUp(handle);
  return {
    initial: async () => openAs(inner, await handles.refer(launch.file, !launch.named)),
    /** Open a path that the user chose in the system's own dialog. Never call it with a page's words. */
    openChosen: async (file: string) => openAs(inner, await handles.refer(file, false)),
    async openHandle(handle: string): Promise<Read> {
      const { file, readOnly } = handles.lookUp(handle);
      return openAs(inner, await handles.refer(file, readOnly));
    },
    /** Files opened or saved lately that are still there, newest first. */
    recent: async () => Promise.all((await recent.there()).map((file) => handles.refer(file, false))),
    /** @throws HostError for an example, over the limit, and where the disk refuses */
    save: (handle: string, saving: Saving): Promise<Saved> =>
      inOrder(async () => saveOver(inner, handles.lookUp(handle), saving)),
    /** What a file holds now, or null while its digest is `sum` or while it is gone. */
    async look(handle: string, sum: string, { page }: Pick<Asking, 'page'>) {
      const one = handles.lookUp(handle);
      const now = await present(await handles.placeOf(one));
      // Its own save, whose answer the page has not heard of yet, is nothing new to it.
      if (!now || now.digest === sum || one.savedBy.get(page) === now.digest) return null;
      const base = one.read(sum);
      one.remember(now);
      return { ...now, base };
    },
    versions: async (handle: string) => versions.list((await known(handle)).file),
    /** Who changed which prescription when, as every computer has kept it. */
    changes: async (handle: string) => readHistory(recordFolder((await known(handle)).file)),
    version: async (handle: string, id: string) => versions.read((await known(handle)).file, id),
    record: async (handle: string, sizes: Readonly<Record<string, number>>) =>
      records.read(await known(handle), sizes),
    /** @throws HostError when nothing was noted */
    note: async (handle: string, station: string, entries: readonly object[]) =>
      records.note(await known(handle), station, entries as readonly Entry[]),
    keepDraft: (draft: Draft | null, { page }: Asking) =>
      draft
        ? drafts.keep(page, draft, draft.handle ? handles.lookUp(draft.handle).file : null)
        : drafts.drop(page),
    drafts: (asking: Asking) => offeredDrafts(inner, asking),
    forgetDraft: (id: string, { page, open }: Asking) => drafts.forget(id, page, open),
    /** Write to a path that the user chose (and confirmed) in the system's own dialog. */
    saveChosen: (file: string, bytes: Uint8Array, keep: boolean) =>
      inOrder(() => writeTo(inner, { file }, bytes, keep)),
    /** The folders a page may show, with their scenario files. */
    folders: (): Promise<Folder[]> => Promise.all(roots.map((root) => listFolder(inner, root))),
    saveInFolder: (to: Parameters<typeof writeInFolder>[1], bytes: Uint8Array) =>
      inOrder(() => writeInFolder(inner, to, bytes)),
  };
}
