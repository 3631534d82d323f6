import { promises as fs } from 'node:fs';
import path from 'node:path';

/** As `atomically` names the neighbour that it writes first; a kill in between leaves it. */
const TEMPORARY = /\.tmp-\d{10}[0-9a-f]{6}$/;
/** Nothing that is younger, ms: another host may just be writing it. */
const AGE_MS = 10 * 60_000;

/** What to look through: a folder, and which of the names in it are ours. */
interface Place {
  readonly folder: string;
  readonly ours: (name: string) => boolean;
}
export const halfWritten = (folder: string): Place => ({ folder, ours: (name) => TEMPORARY.test(name) });
export const beginningWith = (folder: string, prefix: string): Place => ({
  folder,
  ours: (name) => name.startsWith(prefix),
});

/**
 * Takes away what a kill has left: half-written neighbours of files, temporary folders. Never what is young, and never
 * what belongs to another account.
 * @param now ms since 1970
 * @returns what was taken away, full paths
 */
export async function sweep(places: readonly Place[], now: number): Promise<string[]> {
  const gone: string[] = [];
  for (const { folder, ours } of places) {
    const names = await fs.readdir(folder).catch(() => []);
    for (const name of names.filter(ours)) {
      const full = path.join(folder, name);
      const stat = await fs.lstat(full).catch(() => null);
      if (!stat || now - stat.mtimeMs < AGE_MS || (process.getuid && stat.uid !== process.getuid())) continue;
      await fs.rm(full, { recursive: true, force: true }).then(
        () => gone.push(full),
        () => undefined, // the next start tries again
      );
    }
  }
  return gone;
}
