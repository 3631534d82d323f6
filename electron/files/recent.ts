import { promises as fs } from 'node:fs';
import path from 'node:path';
import { writeWhole } from './files.ts';

const MOST = 10;

/** The files opened or saved lately, newest first, in the settings folder. */
export function createRecent(configDir: string) {
  const list = path.join(configDir, 'recent.json');
  const paths = async (): Promise<string[]> => {
    try {
      const read: unknown = JSON.parse(await fs.readFile(list, 'utf8'));
      return Array.isArray(read) ? read.filter((one) => typeof one === 'string').slice(0, MOST) : [];
    } catch {
      return []; // none yet, or spoilt: the list is a convenience and starts anew
    }
  };
  return {
    async add(file: string): Promise<void> {
      const full = path.resolve(file);
      const now = [full, ...(await paths()).filter((one) => one !== full)].slice(0, MOST);
      const bytes = new TextEncoder().encode(`${JSON.stringify(now, null, 2)}\n`);
      await writeWhole(list, bytes).catch(() => undefined); // a full settings disk must not stop the work
    },
    /** Those that are still there. */
    async there(): Promise<string[]> {
      const found = await Promise.all(
        (await paths()).map(async (file) =>
          (await fs.stat(file).catch(() => null))?.isFile() ? file : null,
        ),
      );
      return found.filter((file) => file !== null);
    },
  };
}
export type Recent = ReturnType<typeof createRecent>;
