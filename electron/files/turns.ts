import { promises as fs } from 'node:fs';
import path from 'node:path';
import { HostError } from './files.ts';

/** A lock that is older has been left by a host that died, ms; a save takes well under a second. */
const STALE_MS = 20_000;
const TRY_EVERY_MS = 25;
/** ms; then somebody is told */
const PATIENCE_MS = 40_000;

const lockOf = (file: string) => path.join(path.dirname(file), `.${path.basename(file)}.lock`);
const wait = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

/** Takes away a lock that nobody renews. Renamed first: of two that find it, one alone goes on. */
async function breakStale(lock: string): Promise<void> {
  const stat = await fs.stat(lock).catch(() => null);
  if (!stat || Date.now() - stat.mtimeMs < STALE_MS) return;
  const aside = `${lock}.${process.pid}.${Math.round(stat.mtimeMs)}`;
  await fs.rename(lock, aside).catch(() => undefined);
  await fs.rm(aside, { force: true });
}

/**
 * One at a time looks at a file and writes it, among all hosts and computers that share its folder. Else two that have
 * read the same would both find it unchanged, and the second would take the first one's edit back.
 * @throws HostError when the lock is not had in time
 */
export async function inTurn<T>(file: string, act: () => Promise<T>): Promise<T> {
  const lock = lockOf(file);
  const until = Date.now() + PATIENCE_MS;
  for (;;) {
    try {
      await fs.writeFile(lock, `${process.pid}\n`, { flag: 'wx', mode: 0o600 });
      break;
    } catch (error) {
      // A folder that cannot be written into has no turns; the save itself says why not.
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') return act();
      await breakStale(lock);
      if (Date.now() > until)
        throw new HostError(
          `${path.basename(file)} is being saved by somebody else. Wait a minute, then save again.`,
        );
      await wait(TRY_EVERY_MS);
    }
  }
  try {
    return await act();
  } finally {
    await fs.rm(lock, { force: true });
  }
}
