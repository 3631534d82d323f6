import { promises as fs } from 'node:fs';
import path from 'node:path';
import { watch } from 'chokidar';
import { type Draft, entryFault } from '../../src/record/entries.ts';
import { sha256Of } from '../../src/record/hash.ts';
import { isGrave, type Journal, journalFaultText, lineOf, readJournal } from '../../src/record/journal.ts';
import { explain, flushFolder, HostError, makeFolder, plainName } from './files.ts';

/** One station's file as it stands on the disk. */
interface JournalFile {
  readonly name: string;
  readonly text: string;
}

/** The record's folder beside a scenario: week.json has week.record. */
export const recordFolder = (scenario: string): string =>
  path.join(path.dirname(scenario), `${path.basename(scenario).replace(/\.json$/i, '')}.record`);

const ENDING = '.jsonl';
const codeOf = (error: unknown) => (error as NodeJS.ErrnoException | undefined)?.code ?? '';

/**
 * Every station's file in a record's folder, by name; none where there is no folder.
 * @throws HostError for a folder or a file that cannot be read
 */
export async function readRecord(folder: string): Promise<JournalFile[]> {
  let names: string[];
  try {
    names = (await fs.readdir(folder)).filter((name) => name.endsWith(ENDING)).sort();
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return [];
    throw explain(error, 'open', path.basename(folder));
  }
  return Promise.all(
    names.map(async (name) => {
      try {
        const bytes = await fs.readFile(path.join(folder, name));
        // Fatal would hide the good lines of a file with one bad letter; the line that has it is no entry, and is told.
        return { name, text: new TextDecoder('utf-8').decode(bytes) };
      } catch (error) {
        throw explain(error, 'open', name);
      }
    }),
  );
}

/**
 * A station's own name: letters, digits, dashes, like icu-desk.
 * @throws HostError saying what would be right
 */
export function stationName(name: string): string {
  const plain = plainName(name);
  if (!/^[\p{L}\p{N}][\p{L}\p{N} _-]{0,39}$/u.test(plain))
    throw new HostError(`"${name}" is no name for a station: use letters, digits and dashes, like icu-desk.`);
  return plain;
}

/** Writes one station's file: it alone does. */
export interface Station {
  readonly name: string;
  /** What was found wrong in its file when it was opened: a last line cut off, for one. */
  readonly faults: readonly string[];
  /**
   * Notes entries: on the disk, flushed, when this resolves.
   * @returns the lines written, in order
   * @throws HostError when they are not noted; none of them is then
   */
  note(drafts: readonly Draft[]): Promise<readonly string[]>;
}

interface Standing {
  last: Journal['last'];
  /** Bytes of whole lines. */
  size: number;
  /** The file's text: what was confirmed is kept until the app ends, also when the file goes. */
  text: string;
}

/**
 * Opens a station's file to note in it. A last line that was cut off by a crash is set aside in a file beside it.
 * @param now the clock, as ISO 8601 in UTC
 */
export async function openStation(folder: string, name: string, now: () => string): Promise<Station> {
  const plain = stationName(name);
  const file = path.join(folder, `${plain}${ENDING}`);
  const { standing, faults } = await standingOf(folder, file, plain);
  let turn: Promise<unknown> = Promise.resolve();
  return {
    name: plain,
    faults,
    note(drafts) {
      const mine = turn.then(() =>
        append(file, plain, standing, linesFor(drafts, plain, standing.last, now())),
      );
      turn = mine.catch(() => undefined); // its own caller hears of it
      return mine;
    },
  };
}

async function standingOf(folder: string, file: string, name: string) {
  const standing: Standing = { last: { n: 0, hash: readJournal(file, '').last.hash }, size: 0, text: '' };
  let bytes: Buffer;
  try {
    bytes = await fs.readFile(file);
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return { standing, faults: [] };
    throw explain(error, 'open', path.basename(file));
  }
  const whole = bytes.subarray(0, bytes.lastIndexOf(0x0a) + 1);
  const text = whole.toString('utf8');
  const { last, faults } = readJournal(path.basename(file), text);
  const told = faults.filter(isGrave).map(journalFaultText);
  const cut = bytes.subarray(whole.length);
  if (cut.length > 0) {
    await fs.appendFile(path.join(folder, `${name}.cut-off.txt`), Buffer.concat([cut, Buffer.from('\n')]));
    await fs.truncate(file, whole.length);
    told.push(
      `${path.basename(file)}: the last line was cut off while it was noted. It was set aside in ${name}.cut-off.txt. Note it again if it is missing.`,
    );
  }
  return { standing: { last, size: whole.length, text }, faults: told };
}

function linesFor(drafts: readonly Draft[], name: string, last: Journal['last'], noted: string): string[] {
  let at = last;
  return drafts.map((draft) => {
    const line = lineOf(draft, name, noted, at);
    const fault = entryFault(JSON.parse(line));
    if (fault) throw new HostError(`This entry cannot be noted: ${fault}.`);
    at = { n: at.n + 1, hash: sha256Of(line) };
    return line;
  });
}

/** Adds lines at the end, flushed; where that fails the file is as it was. */
async function append(
  file: string,
  name: string,
  standing: Standing,
  lines: readonly string[],
): Promise<readonly string[]> {
  if (lines.length === 0) return lines;
  const text = lines.map((line) => `${line}\n`).join('');
  const fresh = standing.size === 0;
  try {
    if (fresh) await makeFolder(path.dirname(file));
    await isAsLeft(file, name, standing);
    await write(file, Buffer.from(text, 'utf8'), standing.size);
    if (fresh) await flushFolder(path.dirname(file));
  } catch (error) {
    throw error instanceof HostError ? error : notNoted(error, file);
  }
  standing.size += Buffer.byteLength(text);
  standing.text += text;
  const n = standing.last.n + lines.length;
  standing.last = { n, hash: sha256Of(lines.at(-1)!) };
  return lines;
}

const notNoted = (error: unknown, file: string): HostError =>
  new HostError(`Nothing was noted. ${explain(error, 'save', path.basename(file)).message}`);

/**
 * The file is as this station left it: whole, and nobody else has written to it. One that was removed while its folder
 * is there is written anew from memory, so that nothing confirmed is lost.
 * @throws HostError for a folder that is gone, and where another computer notes under the same name
 */
async function isAsLeft(file: string, name: string, { size, text }: Standing): Promise<void> {
  const folder = path.dirname(file);
  const there = await fs.stat(file).then(
    (stat) => stat.size,
    (error: unknown) => {
      if (codeOf(error) === 'ENOENT') return null;
      throw error;
    },
  );
  if (there === size || (there === null && size === 0)) return;
  if (there !== null)
    throw new HostError(
      `Nothing was noted: another program has written to ${path.basename(file)}. Give each computer a station name of its own; ${name} is taken.`,
    );
  const folderThere = await fs.stat(folder).catch(() => null);
  if (!folderThere)
    throw new HostError(
      `Nothing was noted: the folder ${path.basename(folder)} is gone. Bring it back, then note this again. What was noted before is kept here until the app ends.`,
    );
  await write(file, Buffer.from(text, 'utf8'), 0);
  await flushFolder(folder);
}

/** All bytes at the end of a file of `size` bytes, on the disk when this resolves; else the file is cut back to that size. */
async function write(file: string, bytes: Buffer, size: number): Promise<void> {
  const handle = await fs.open(file, 'a');
  try {
    try {
      for (let done = 0; done < bytes.length; )
        done += (await handle.write(bytes, done, bytes.length - done)).bytesWritten;
      await handle.sync();
    } catch (error) {
      await handle.truncate(size).catch(() => undefined); // a line cut off is set aside at the next start
      throw error;
    }
  } finally {
    await handle.close();
  }
}

/**
 * Tells when a station's file in a record's folder changes, also in one that is not there yet.
 * @returns how to stop
 */
export function watchRecord(folder: string, changed: () => void): () => Promise<void> {
  const watcher = watch(folder, {
    ignoreInitial: true,
    depth: 0,
    // Notices of changes do not travel over a shared folder.
    usePolling: true,
    interval: 1000,
    ignored: (name, stats) => stats?.isFile() === true && !name.endsWith(ENDING),
  });
  watcher.on('all', changed);
  watcher.on('error', changed); // the folder went: whoever reads it next says so
  return () => watcher.close();
}
