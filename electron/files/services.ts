import { randomUUID } from 'node:crypto';
import { promises as fs } from 'node:fs';
import path from 'node:path';
import type { FileRef, Folder, ListedFile, OpenedFile } from '../../src/bridge.ts';
import { digest, digestOf, HostError, inside, plainName, readText, writeWhole } from './files.ts';

export interface ServiceOptions {
  /** Scenarios that come with the app: read, never written. */
  readonly examples: string;
  /** Folders the user chose, read and written; the first is the documents folder, made at the first save. */
  readonly folders: readonly string[];
  /** Folder of the list of recent files. */
  readonly configDir: string;
  /** What to open first; a file the user named may be written, the demo may not. */
  readonly launch: { readonly file: string; readonly named: boolean };
}
export type Services = ReturnType<typeof createServices>;

interface Known {
  readonly file: string;
  readonly readOnly: boolean;
  /** Of the content last read or written by us; null before. */
  digest: string | null;
}
const RECENT = 10;

/**
 * The host's side of the bridge, the same under Electron and under the local host. A page holds opaque handles only:
 * a handle stands for a file that the user chose or that lies in a folder listed here; all else is out of reach.
 */
export function createServices(options: ServiceOptions) {
  const known = new Map<string, Known>();
  const recentFile = path.join(options.configDir, 'recent.json');
  const roots = [
    ...options.folders.map((folder) => ({ folder: path.resolve(folder), readOnly: false })),
    { folder: path.resolve(options.examples), readOnly: true },
  ].map((root, index) => ({ ...root, id: String(index) }));

  const refer = (file: string, readOnly: boolean): FileRef => {
    const full = path.resolve(file);
    let handle = [...known].find(([, one]) => one.file === full && one.readOnly === readOnly)?.[0];
    if (!handle) {
      handle = randomUUID();
      known.set(handle, { file: full, readOnly, digest: null });
    }
    return { handle, name: path.basename(full), ...(readOnly ? { readOnly } : {}) };
  };
  const lookUp = (handle: string): Known => {
    const one = known.get(handle);
    if (!one) throw new HostError('That file is not open here any more. Open it again.');
    return one;
  };

  let last: Promise<unknown> = Promise.resolve();
  /** One save after the other, in the order asked for: an older one must not end up over a newer one. */
  const inTurn = <T>(save: () => Promise<T>): Promise<T> => {
    const mine = last.then(save);
    last = mine.catch(() => undefined); // its own caller hears of it
    return mine;
  };

  const recentPaths = async (): Promise<string[]> => {
    try {
      const list: unknown = JSON.parse(await fs.readFile(recentFile, 'utf8'));
      return Array.isArray(list) ? list.filter((one) => typeof one === 'string').slice(0, RECENT) : [];
    } catch {
      return []; // none yet, or spoilt: the list is a convenience and starts anew
    }
  };
  const remember = async (file: string) => {
    const full = path.resolve(file);
    const list = [full, ...(await recentPaths()).filter((one) => one !== full)].slice(0, RECENT);
    const bytes = new TextEncoder().encode(`${JSON.stringify(list, null, 2)}\n`);
    await writeWhole(recentFile, bytes).catch(() => undefined); // a full config disk must not stop the work
  };

  const openAs = async (ref: FileRef): Promise<OpenedFile> => {
    const one = lookUp(ref.handle);
    const read = await readText(one.file);
    one.digest = read.digest;
    if (!one.readOnly) await remember(one.file);
    return { ...ref, text: read.text };
  };
  const writeTo = async (file: string, bytes: Uint8Array, keep: boolean): Promise<FileRef> => {
    await writeWhole(file, bytes);
    const ref = refer(file, false);
    lookUp(ref.handle).digest = digest(bytes);
    if (keep) await remember(file);
    return ref;
  };

  return {
    initial: () => openAs(refer(options.launch.file, !options.launch.named)),

    /** Open a path that the user chose in the system's own dialog. Never call it with a page's words. */
    openChosen: (file: string) => openAs(refer(file, false)),

    async openHandle(handle: string): Promise<OpenedFile> {
      const { file, readOnly } = lookUp(handle);
      return openAs(refer(file, readOnly));
    },

    /** Files opened or saved lately that are still there, newest first. */
    async recent(): Promise<FileRef[]> {
      const there = await Promise.all(
        (await recentPaths()).map(async (file) =>
          (await fs.stat(file).catch(() => null))?.isFile() ? file : null,
        ),
      );
      return there.filter((file) => file !== null).map((file) => refer(file, false));
    },

    /**
     * Write back where it came from.
     * @throws HostError for an example, and when another program has changed the file since it was read here
     */
    save: (handle: string, text: string): Promise<void> =>
      inTurn(async () => {
        const one = lookUp(handle);
        const name = path.basename(one.file);
        if (one.readOnly) {
          throw new HostError(
            `${name} is an example and stays as it came. Use "Save as" to keep your own copy.`,
          );
        }
        const now = await digestOf(one.file);
        if (now !== null && one.digest !== null && now !== one.digest) {
          throw new HostError(
            `${name} was changed by another program since it was opened; nothing was written. Use "Save as" with another name, or open it again.`,
          );
        }
        await writeTo(one.file, new TextEncoder().encode(text), true);
      }),

    /** Write to a path that the user chose (and confirmed) in the system's own dialog. */
    saveChosen: (file: string, bytes: Uint8Array, keep: boolean) => inTurn(() => writeTo(file, bytes, keep)),

    /** The folders a page may show, with their scenario files. */
    async folders(): Promise<Folder[]> {
      return Promise.all(
        roots.map(async ({ id, folder, readOnly }) => {
          const entries = await fs.readdir(folder, { withFileTypes: true }).catch(() => []);
          const files = await Promise.all(
            entries
              .filter((entry) => entry.isFile() && /\.json$/i.test(entry.name) && !entry.name.startsWith('.'))
              .map(async (entry): Promise<ListedFile> => {
                const stat = await fs.stat(path.join(folder, entry.name));
                const ref = refer(path.join(folder, entry.name), readOnly);
                return { ...ref, bytes: stat.size, modified: stat.mtime.toISOString() };
              }),
          );
          files.sort((a, b) => a.name.localeCompare(b.name));
          return { id, name: readOnly ? 'Examples' : folder, readOnly, files };
        }),
      );
    },

    /** Write into a listed folder; null, and nothing written, when the name is taken and `overwrite` is false. */
    saveInFolder: (id: string, name: string, bytes: Uint8Array, overwrite: boolean, keep: boolean) =>
      inTurn(async () => {
        const root = roots.find((one) => one.id === id && !one.readOnly);
        if (!root) throw new HostError('That folder is not one you may save in. Choose another.');
        const plain = plainName(name);
        await fs.mkdir(root.folder, { recursive: true }).catch(() => undefined); // the write below says why not
        const file = await inside(root.folder, plain);
        if (!file) throw new HostError(`${plain} is a link out of its folder. Choose another name.`);
        if (!overwrite && (await fs.stat(file).catch(() => null))) return null;
        return writeTo(file, bytes, keep);
      }),
  };
}
