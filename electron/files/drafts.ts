import { promises as fs } from 'node:fs';
import path from 'node:path';
import { z } from 'zod';
import type { Draft } from '../../src/bridge.ts';
import { digest, HostError, ownFolder, SCENARIO_LIMIT, writeWhole } from './files.ts';

z.config({ jitless: true });

/** A draft as a page hands it over. */
export const draftShape = z.strictObject({
  handle: z.uuid().nullable(),
  name: z.string().max(400),
  text: z.string(),
  base: z
    .string()
    .regex(/^[0-9a-f]{64}$/)
    .nullable(),
  at: z.iso.datetime(),
});
/** As it lies on the disk: with the file's own path, null for one that was never saved. */
const kept = draftShape.extend({ file: z.string().nullable() });
type Kept = z.infer<typeof kept>;
const NAME = /^(\d+)-([0-9a-f]{16})\.json$/;

const alive = (pid: number) => {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
};

/**
 * Edits that no file holds yet, one draft a page, each flushed to the disk before the page is told. What a page, a host
 * or a computer leaves when it dies is offered to the next page.
 */
export function createDrafts(configDir: string) {
  const folder = path.join(configDir, 'drafts');
  const nameFor = (page: string) =>
    `${process.pid}-${digest(new TextEncoder().encode(page)).slice(0, 16)}.json`;
  /** Of pages that are gone; one of another host that runs still, or of a page that is open here, is theirs. */
  const orphans = async (page: string, open: ReadonlySet<string>): Promise<string[]> => {
    const names = await fs.readdir(folder).catch(() => []);
    const theirs = new Set([...open].filter((one) => one !== page).map(nameFor));
    return names.filter((name) => {
      const pid = Number(NAME.exec(name)?.[1] ?? 0);
      return pid > 0 && !theirs.has(name) && (pid === process.pid || !alive(pid));
    });
  };
  return {
    /** @throws HostError over the limit, or when it cannot be written */
    async keep(page: string, draft: Draft, file: string | null): Promise<void> {
      if (draft.text.length > SCENARIO_LIMIT) throw new HostError('The edits are too large to be kept.', 413);
      await ownFolder(folder);
      const { handle, name, text, base, at } = draft;
      const whole: Kept = { handle, name, text, base, file, at };
      await writeWhole(path.join(folder, nameFor(page)), new TextEncoder().encode(JSON.stringify(whole)));
    },
    drop: (page: string) => fs.rm(path.join(folder, nameFor(page)), { force: true }),
    /** What is offered to a page that begins, newest first; with the name under which it lies. */
    async offered(page: string, open: ReadonlySet<string>): Promise<(Kept & { id: string })[]> {
      const names = await orphans(page, open);
      const found = await Promise.all(
        names.map(async (id) => {
          try {
            return { id, ...kept.parse(JSON.parse(await fs.readFile(path.join(folder, id), 'utf8'))) };
          } catch {
            return null; // cut off in the making: the one before it was given up for it
          }
        }),
      );
      return found.filter((one) => one !== null).sort((a, b) => b.at.localeCompare(a.at));
    },
    /** The person has taken it up, or does not want it. */
    async forget(id: string, page: string, open: ReadonlySet<string>): Promise<void> {
      if ((await orphans(page, open)).includes(id)) await fs.rm(path.join(folder, id), { force: true });
    },
  };
}
