import { type Draft, type Entry, entryFault } from './entries.ts';
import { sha256OfLines } from './hash.ts';

/** What the first line of a file names as the line before it. */
export const NO_LINE = '0'.repeat(64);

/** What is wrong with a journal file, in words for the person who keeps it. */
interface JournalFault {
  readonly kind: 'unreadable' | 'changed' | 'missing' | 'twice' | 'cut off';
  readonly file: string;
  /** Counted from 1. */
  readonly line: number;
  readonly wrong: string;
  readonly expected: string;
}
/** An entry with where it stands. */
export interface Noted {
  readonly entry: Entry;
  readonly file: string;
  readonly line: number;
}
export interface Journal {
  /** The station: the file's name without .jsonl. */
  readonly station: string;
  readonly noted: readonly Noted[];
  readonly faults: readonly JournalFault[];
  /** `n` of the last line that stands, and its SHA-256: what the next line goes on from. */
  readonly last: { readonly n: number; readonly hash: string };
  /** UTF-16 units of the text that stand, without a last line that was cut off. */
  readonly stands: number;
}

const stationOf = (file: string): string => file.replace(/^.*[/\\]/, '').replace(/\.jsonl$/i, '');

/** Where reading begins: at a file's first line, or after lines read before. */
interface Begin {
  readonly line: number;
  readonly last: Journal['last'];
}
const BEGIN: Begin = { line: 1, last: { n: 0, hash: NO_LINE } };

/**
 * Reads one station's file, or what has been added to it. What can be read stands, whatever else is wrong: a line that
 * is no entry is told and left out; one whose `before` does not fit the line before it (changed, removed or put in by
 * another hand) is told and counts; a last line without an end of line was cut off by a crash: told, set aside.
 * @param file its name, for messages; the station is its stem
 */
export function readJournal(file: string, text: string, begin: Begin = BEGIN): Journal {
  const noted: Noted[] = [];
  const faults: JournalFault[] = [];
  const station = stationOf(file);
  let { n, hash } = begin.last;
  let line = begin.line - 1;
  let from = 0;
  const hashes = sha256OfLines(text);
  const tell = (kind: JournalFault['kind'], wrong: string, expected: string) =>
    faults.push({ kind, file, line, wrong, expected });
  for (let end = text.indexOf('\n'); end >= 0; from = end + 1, end = text.indexOf('\n', from)) {
    line += 1;
    const written = text.slice(from, end);
    const entry = entryIn(written);
    if (typeof entry === 'string') {
      tell(
        'unreadable',
        `this line is no entry (${entry})`,
        'one entry a line, as the app wrote it. Restore the line from a copy',
      );
      n += 1;
    } else {
      const fault = chainFault(entry, station, { n, hash });
      if (fault) tell(...fault);
      noted.push({ entry, file, line });
      n = entry.n;
    }
    hash = hashes.next().value!;
  }
  if (from < text.length) {
    line += 1;
    tell(
      'cut off',
      'the last line was cut off while it was noted; it does not count',
      'a whole line. Note it again if it is missing',
    );
  }
  return { station, noted, faults, last: { n, hash }, stands: from };
}

/** The entry in a line, or in words why there is none. */
function entryIn(line: string): Entry | string {
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    return 'not JSON';
  }
  // The value as written, not the schema's copy of it: the same, and much quicker to read from.
  return entryFault(value) ?? (value as Entry);
}

function chainFault(
  entry: Entry,
  station: string,
  last: Journal['last'],
): [JournalFault['kind'], string, string] | null {
  if (entry.id !== `${station}/${entry.n}`)
    return [
      'twice',
      `the entry's id is ${entry.id}`,
      `${station}/${entry.n}: each station has a name and a file of its own`,
    ];
  if (entry.n <= last.n)
    return [
      'twice',
      `n is ${entry.n}, after ${last.n}: two computers may note under the name ${station}`,
      `n ${last.n + 1}. Give each computer a name of its own`,
    ];
  if (entry.n > last.n + 1)
    return [
      'missing',
      entry.n === last.n + 2
        ? `the line of n ${last.n + 1} is missing before it`
        : `the lines of n ${last.n + 1} to ${entry.n - 1} are missing before it`,
      'every line as it was noted. Restore the file from a copy',
    ];
  if (entry.before !== last.hash)
    return [
      'changed',
      'the line before it is not the one that was noted',
      'every line as it was noted. Restore the file from a copy',
    ];
  return null;
}

/** What a station adds to its file: one line without its end, for what goes on from `last`. */
export function lineOf(draft: Draft, station: string, noted: string, last: Journal['last']): string {
  const n = last.n + 1;
  const { kind, at, by, ...rest } = draft;
  return JSON.stringify({ n, id: `${station}/${n}`, noted, by, kind, at, ...rest, before: last.hash });
}

/** A journal's fault as one line: file, line, what is wrong, what is expected. */
export const journalFaultText = ({ file, line, wrong, expected }: JournalFault): string =>
  `${file}, line ${line}: ${wrong}. Expected: ${expected}.`;

/** Faults with which the record cannot be trusted to be whole; a last line that was cut off is none of them. */
export const isGrave = ({ kind }: JournalFault): boolean => kind !== 'cut off';

/** Entries that bear one id in two files, or twice in one with other words: copies of a file, or two stations of one name. */
export function idsTwice(noted: readonly Noted[]): JournalFault[] {
  const first = new Map<string, Noted>();
  return noted.flatMap((one) => {
    const before = first.get(one.entry.id);
    if (!before) first.set(one.entry.id, one);
    if (!before || JSON.stringify(before.entry) === JSON.stringify(one.entry)) return [];
    return {
      kind: 'twice' as const,
      file: one.file,
      line: one.line,
      wrong: `${one.entry.id} also stands in ${before.file}, line ${before.line}, with other words`,
      expected: 'each computer notes under a name of its own',
    };
  });
}
