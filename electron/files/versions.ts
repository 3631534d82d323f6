import { promises as fs } from 'node:fs';
import path from 'node:path';
import type { Version } from '../../src/bridge.ts';
import { digest, HostError, ownFolder, writeWhole } from './files.ts';

/** So many saved states of one file are kept. */
const MOST_VERSIONS = 20;
/** 2031-02-03T07-00-00-000Z-<first digits of the digest>.json */
const NAME = /^(\d{4}-\d\d-\d\dT\d\d)-(\d\d)-(\d\d)-(\d{3}Z)-([0-9a-f]{12})\.json$/;

/**
 * The last saved states of each file, in the settings folder, for looking at and taking back.
 * @param clock ms since 1970
 */
export function createVersions(configDir: string, clock: () => number = Date.now) {
  const folderOf = (file: string) =>
    path.join(configDir, 'versions', digest(new TextEncoder().encode(path.resolve(file))).slice(0, 24));
  const namesOf = async (file: string) =>
    (await fs.readdir(folderOf(file)).catch(() => [])).filter((name) => NAME.test(name)).sort();
  return {
    /** Keeps a state, unless it is the one kept last. Never stops a save: a full disk is told elsewhere. */
    async keep(file: string, bytes: Uint8Array): Promise<void> {
      try {
        const folder = folderOf(file);
        await ownFolder(folder);
        const sum = digest(bytes).slice(0, 12);
        const names = await namesOf(file);
        if (NAME.exec(names.at(-1) ?? '')?.[5] === sum) return;
        const name = `${new Date(clock()).toISOString().replace(/[:.]/g, '-')}-${sum}.json`;
        await writeWhole(path.join(folder, name), bytes);
        const old = [...names, name].sort().slice(0, -MOST_VERSIONS);
        await Promise.all(old.map((one) => fs.rm(path.join(folder, one), { force: true })));
      } catch {
        // The file itself is saved; only its past is not kept.
      }
    },
    /** Newest first. */
    async list(file: string): Promise<Version[]> {
      const names = (await namesOf(file)).reverse();
      return names.map((id) => {
        const [, hour, minute, second, rest] = NAME.exec(id)!;
        return { id, saved: `${hour}:${minute}:${second}.${rest}` };
      });
    },
    /** @throws HostError when there is no such version of this file */
    async read(file: string, id: string): Promise<string> {
      if (!NAME.test(id)) throw new HostError('There is no such version.');
      try {
        return await fs.readFile(path.join(folderOf(file), id), 'utf8');
      } catch {
        throw new HostError('That version is not kept any more. Choose another.');
      }
    },
  };
}
