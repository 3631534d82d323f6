import { promises as fs } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { HistoryFile } from '../../src/bridge.ts';
import { type Changed, changedFields } from '../../src/scenario/changed.ts';
import { explain, fileMode, flushFolder, namesWith, ownFolder } from './files.ts';
import { recordFolder } from './journal.ts';

const ENDING = '.changes';
/** bytes of one computer's history that a page is given, the last of it */
const MOST = 4_000_000;

/** This computer's own file, so that two of them never write the same one. Not .jsonl: it is no station's journal. */
export const historyFile = (file: string, computer = os.hostname()): string =>
  path.join(
    recordFolder(file),
    `${computer.replace(/[^\p{L}\p{N}_-]/gu, '-').slice(0, 60) || 'computer'}${ENDING}`,
  );

/**
 * Keeps who changed which prescription when, in the record's folder, a line each, flushed to the disk. A folder that
 * refuses does not stop the save: the scenario itself is written.
 * @param now ISO 8601 in UTC
 */
export async function noteChanges(file: string, before: string, after: string, now: string): Promise<void> {
  const changes = changedFields(before, after);
  if (changes.length === 0) return;
  const by = os.userInfo().username;
  const lines = changes.map((one): Changed => ({ at: now, by, on: os.hostname(), ...one }));
  const to = historyFile(file);
  try {
    await ownFolder(path.dirname(to));
    const open = await fs.open(to, 'a+', await fileMode(path.dirname(to)));
    try {
      // A line that a crash has cut off stays alone: what is written now stands in lines of its own.
      if (!(await endsWhole(open))) await open.appendFile('\n');
      await open.appendFile(lines.map((line) => `${JSON.stringify(line)}\n`).join(''));
      await open.sync();
    } finally {
      await open.close();
    }
    await flushFolder(path.dirname(to));
  } catch {
    // Told by nothing: the save stands, and the versions kept beside the settings show the change too.
  }
}

/** Is there nothing behind the last end of a line? */
async function endsWhole(open: fs.FileHandle): Promise<boolean> {
  const { size } = await open.stat();
  if (size === 0) return true;
  const { buffer } = await open.read(Buffer.alloc(1), 0, 1, size - 1);
  return buffer[0] === 0x0a;
}

/** The last of a file, from the begin of a line on. */
async function endOf(file: string): Promise<string> {
  const open = await fs.open(file, 'r');
  try {
    const { size } = await open.stat();
    const from = Math.max(0, size - MOST);
    const { buffer, bytesRead } = await open.read(Buffer.alloc(size - from), 0, size - from, from);
    const text = buffer.toString('utf8', 0, bytesRead);
    return from === 0 ? text : text.slice(text.indexOf('\n') + 1);
  } finally {
    await open.close();
  }
}

/**
 * Every computer's history beside a scenario, by name; none where there is no folder.
 * @param folder of the record
 * @throws HostError for a folder or a file that cannot be read
 */
export async function readHistory(folder: string): Promise<HistoryFile[]> {
  const names = await namesWith(folder, ENDING);
  return Promise.all(
    names.map(async (name) => {
      try {
        return { name, text: await endOf(path.join(folder, name)) };
      } catch (error) {
        throw explain(error, 'open', name);
      }
    }),
  );
}
