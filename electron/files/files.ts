import { createHash } from 'node:crypto';
import { constants, promises as fs } from 'node:fs';
import path from 'node:path';
import { Readable } from 'node:stream';
import { writeFile } from 'atomically';

/** A fault with words for the person at the screen; anything else that is thrown is a fault of ours. */
export class HostError extends Error {
  /** @param status as HTTP has it: 409, or 413 where a limit is passed */
  constructor(
    message: string,
    readonly status = 409,
  ) {
    super(message);
  }
}

/** bytes; a scenario of 400 patients takes well under a megabyte */
export const SCENARIO_LIMIT = 20_000_000;
/** bytes of one export, PDF or request body */
export const BODY_LIMIT = 64_000_000;

const megabytes = (bytes: number) => `${(bytes / 1e6).toFixed(1)} MB`;

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'it is not there (moved, renamed or deleted). Open it from where it is now.',
  EACCES:
    'it is protected, or this account may not use it. Ask for the right, or choose another name or folder.',
  EPERM:
    'it is protected, or this account may not use it. Ask for the right, or choose another name or folder.',
  EROFS: 'the disk is read-only. Choose another folder.',
  ENOSPC: 'the disk is full. Make room, or choose another disk; the old file is untouched.',
  EDQUOT: 'the disk quota is used up. Make room, or choose another disk; the old file is untouched.',
  EFBIG: 'the file is larger than this disk or account allows; the old file is untouched.',
  EISDIR: 'it is a folder. Choose a file.',
  ENOTDIR: 'a part of its path is not a folder. Choose another place.',
};

const codeOf = (error: unknown) => (error as NodeJS.ErrnoException | undefined)?.code ?? '';

/** The same fault in words: which file, what is wrong, what to do. */
export function explain(error: unknown, act: 'open' | 'save', name: string): HostError {
  if (error instanceof HostError) return error;
  const reason = REASONS[codeOf(error)] ?? (error instanceof Error ? error.message : String(error));
  return new HostError(`${name} could not be ${act === 'open' ? 'opened' : 'saved'}: ${reason}`);
}

/**
 * Names of the files of one ending in a folder, sorted; none where there is no folder.
 * @throws HostError for a folder that cannot be read
 */
export async function namesWith(folder: string, ending: string): Promise<string[]> {
  try {
    return (await fs.readdir(folder)).filter((name) => name.endsWith(ending)).sort();
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return [];
    throw explain(error, 'open', path.basename(folder));
  }
}

/**
 * Of a file or folder that this program makes: for the user alone, but where others may write into the folder, as on a
 * share of a ward, they may write the file too.
 */
export async function fileMode(folder: string): Promise<number> {
  const mode = (await fs.stat(folder).catch(() => null))?.mode ?? 0;
  return 0o600 | (mode & 0o020 ? 0o060 : 0) | (mode & 0o002 ? 0o006 : 0);
}
/**
 * What names a folder holds is on the disk when this resolves: a file's own flush does not promise its name. Some
 * systems do not let a folder be flushed.
 */
export async function flushFolder(folder: string): Promise<void> {
  const handle = await fs.open(folder, 'r').catch(() => null);
  await handle?.sync().catch(() => undefined);
  await handle?.close();
}
/** Makes a folder and those above it, their names flushed; one that is there stays as it is. */
export async function makeFolder(folder: string, mode?: number): Promise<void> {
  const first = await fs.mkdir(folder, { recursive: true, mode });
  if (first === undefined) return;
  const top = path.dirname(path.resolve(first));
  for (let made = path.resolve(folder); made !== top; made = path.dirname(made))
    await flushFolder(path.dirname(made));
}
/** Makes a folder that only the user can look into. */
export const ownFolder = (folder: string) => makeFolder(folder, 0o700);

export const digest = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex');

/**
 * Read a scenario file whole.
 * @throws HostError when it is no plain file, over `SCENARIO_LIMIT` bytes, unreadable or not UTF-8
 */
export async function readText(file: string): Promise<{ text: string; digest: string }> {
  const name = path.basename(file);
  let open: fs.FileHandle | undefined;
  try {
    // Not blocked by a pipe that nobody writes to; what is judged is what is read, also when its name changes hands.
    open = await fs.open(file, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
    const stat = await open.stat();
    if (!stat.isFile()) throw new HostError(`${name} could not be opened: it is no plain file.`);
    if (stat.size > SCENARIO_LIMIT) {
      throw new HostError(
        `${name} could not be opened: it holds ${megabytes(stat.size)}, a scenario at most ${megabytes(SCENARIO_LIMIT)}. Is it the right file?`,
        413,
      );
    }
    const bytes = await open.readFile();
    try {
      return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes), digest: digest(bytes) };
    } catch {
      throw new HostError(
        `${name} could not be opened: it is not UTF-8 text. Save it as UTF-8 and try again.`,
      );
    }
  } catch (error) {
    throw explain(error, 'open', name);
  } finally {
    await open?.close();
  }
}

/**
 * What a scenario may hold when it is saved: no more than can be opened again.
 * @throws HostError above `SCENARIO_LIMIT`
 */
export function withinLimit(name: string, bytes: Uint8Array): void {
  if (bytes.length <= SCENARIO_LIMIT) return;
  throw new HostError(
    `${name} could not be saved: it would hold ${megabytes(bytes.length)}, a scenario at most ${megabytes(SCENARIO_LIMIT)}. Remove rows that are no longer needed.`,
    413,
  );
}

/**
 * Write a file whole or not at all: to a neighbour first, flushed, then renamed over the old one, and that flushed too.
 * @throws HostError with the reason; the old file is then as it was
 */
export async function writeWhole(file: string, bytes: Uint8Array): Promise<void> {
  try {
    // Renaming asks the folder alone, so a file that somebody protected would be replaced all the same.
    await fs.access(file, fs.constants.W_OK).catch((error: unknown) => {
      if (codeOf(error) !== 'ENOENT') throw error;
    });
    const folder = path.dirname(file);
    await ownFolder(folder).catch(() => undefined); // the write below says why not
    const known = await fs.stat(file).catch(() => null);
    const mode = known ? undefined : await fileMode(folder);
    // As a stream: a plain write that the system cuts short (a disk filling up) would pass for a whole one.
    await writeFile(file, Readable.from([bytes], { objectMode: false }), { timeout: 5_000, mode });
    await flushFolder(folder);
  } catch (error) {
    throw explain(error, 'save', path.basename(file));
  }
}

/** Names of devices under Windows, also with an ending, with spaces before it, and with digits written high. */
const RESERVED = /^(con|prn|aux|nul|conin\$|conout\$|(com|lpt)[\d¹²³])\s*(\.|$)/i;

/**
 * A plain file name, safe on every system; never a path.
 * @throws HostError saying what would be right
 */
export function plainName(name: string): string {
  const trimmed = name.trim();
  const fault = (why: string) => new HostError(`"${name}" is no file name: ${why}.`);
  if (trimmed === '') throw fault('it is empty; type one such as week-6.json');
  if (trimmed.length > 120) throw fault('it is longer than 120 characters');
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is refused here
  if (/[/\\:*?"<>|\x00-\x1f\x7f]/.test(trimmed))
    throw fault('leave out / \\ : * ? " < > | and control characters');
  if (/^\.|\.$/.test(trimmed)) throw fault('it may not begin or end with a dot');
  if (RESERVED.test(trimmed)) throw fault('the system keeps that word for itself');
  return trimmed;
}

/** The file `name` inside `root`, or null when it would lie outside, links followed. */
export async function inside(root: string, name: string): Promise<string | null> {
  const within = (base: string, file: string) => file.startsWith(base + path.sep);
  const base = path.resolve(root);
  const file = path.resolve(base, name);
  if (!within(base, file)) return null;
  try {
    return within(await fs.realpath(base), await fs.realpath(file)) ? file : null;
  } catch (error) {
    if (codeOf(error) !== 'ENOENT') return null;
    // Not there yet: a link that leads nowhere is refused, a new name in an existing folder is fine.
    return (await fs.lstat(file).catch(() => null)) ? null : file;
  }
}
