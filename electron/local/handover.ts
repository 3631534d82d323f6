import { promises as fs, rmSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { ownFolder } from '../files/files.ts';

/** Of folders in the settings folder; what a kill leaves is swept at the next start. */
export const HANDOVER_PREFIX = 'open-';

export interface Handover {
  /** What a browser is told to open; it says nothing to others who read it. */
  readonly address: string;
  /** Takes the page away, as soon as it was followed. */
  end(): void;
}

/**
 * A page that only the user can read and that goes on to the link. The link itself must not be an argument of a
 * program: every account of the computer can read those.
 */
export async function handover(configDir: string, link: string): Promise<Handover> {
  await ownFolder(configDir);
  const folder = await fs.mkdtemp(path.join(configDir, HANDOVER_PREFIX)); // 0700 by itself
  const page = path.join(folder, 'bathtide.html');
  const text = `<!doctype html><meta charset="utf-8"><meta http-equiv="refresh" content="0;url=${link}"><title>Bathtide</title><p><a href="${link}">Open Bathtide</a></p>\n`;
  await fs.writeFile(page, text, { mode: 0o600, flag: 'wx' });
  return {
    address: pathToFileURL(page).href,
    end: () => rmSync(folder, { recursive: true, force: true }),
  };
}
