import { promises as fs } from 'node:fs';
import path from 'node:path';
import type { RecordPart } from '../../src/bridge.ts';
import type { Draft } from '../../src/record/entries.ts';
import { explain, namesWith } from './files.ts';
import type { Known } from './handles.ts';
import { openStation, recordFolder, type Station, stationName } from './journal.ts';

const ENDING = '.jsonl';

/** The part of a file from a byte on. */
async function tailOf(file: string, from: number): Promise<Buffer> {
  const handle = await fs.open(file, 'r');
  try {
    const { size } = await handle.stat();
    const bytes = Buffer.alloc(Math.max(0, size - from));
    for (let done = 0; done < bytes.length; ) {
      const { bytesRead } = await handle.read(bytes, done, bytes.length - done, from + done);
      if (bytesRead === 0) return bytes.subarray(0, done);
      done += bytesRead;
    }
    return bytes;
  } finally {
    await handle.close();
  }
}

/** What one station's file holds beyond what is known; null: nothing more. One that became shorter is read anew. */
async function partOf(folder: string, name: string, known: number): Promise<RecordPart | null> {
  const file = path.join(folder, name);
  try {
    const { size } = await fs.stat(file);
    const from = size >= known ? known : 0;
    if (size === known && known > 0) return null;
    const bytes = await tailOf(file, from);
    // Only whole lines: what is just being written comes with the next reading, unless it is all there ever will be.
    return { name, from, size: from + bytes.length, text: new TextDecoder('utf-8').decode(bytes) };
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw explain(error, 'open', name);
  }
}

/**
 * The records of scenarios: each beside its scenario's file, that of an example in the folder where copies are kept.
 * @param documents folder for the records of examples
 * @param now the clock, as ISO 8601 in UTC
 */
export function createRecords(documents: string, now: () => string) {
  const stations = new Map<string, Promise<Station>>();
  const folderOf = ({ file, readOnly }: Known) =>
    recordFolder(readOnly ? path.join(documents, path.basename(file)) : file);
  const stationOf = (folder: string, name: string): Promise<Station> => {
    const place = path.join(folder, stationName(name));
    const open = stations.get(place) ?? openStation(folder, name, now);
    stations.set(place, open);
    // One that could not be opened is tried again at the next entry.
    open.catch(() => stations.delete(place));
    return open;
  };
  return {
    /** What every station's file holds beyond the bytes that are known of it. */
    async read(one: Known, known: Readonly<Record<string, number>>): Promise<RecordPart[]> {
      const folder = folderOf(one);
      const names = await namesWith(folder, ENDING);
      const parts = await Promise.all(names.map((name) => partOf(folder, name, known[name] ?? 0)));
      return parts.filter((part) => part !== null);
    },
    /** Entries are on the disk, flushed, when this resolves. @throws HostError when none of them is noted */
    async note(one: Known, station: string, drafts: readonly Draft[]) {
      const open = await stationOf(folderOf(one), station);
      return { file: `${open.name}${ENDING}`, lines: await open.note(drafts), faults: open.faults };
    },
  };
}
