import { promises as fs } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { changesBetween } from '../../src/scenario/merge.ts';
import { fileMode, ownFolder } from './files.ts';
import { recordFolder } from './journal.ts';

/** One field of a prescription that a save changed. */
interface Changed {
  /** ISO 8601, UTC */
  readonly at: string;
  /** account of the computer that saved */
  readonly by: string;
  /** name of that computer */
  readonly on: string;
  /** patient, and the field within: ['bed-04', 'dose'] */
  readonly what: readonly string[];
  readonly from: unknown;
  readonly to: unknown;
}

const parsed = (text: string): unknown => {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
};
const patientsOf = (text: string): unknown => (parsed(text) as { patients?: unknown } | undefined)?.patients;

/** The fields of prescriptions that differ between two texts of a scenario; none where one is no scenario. */
export function prescriptionChanges(before: string, after: string): Pick<Changed, 'what' | 'from' | 'to'>[] {
  const [was, now] = [patientsOf(before), patientsOf(after)];
  if (!Array.isArray(was) || !Array.isArray(now)) return [];
  return changesBetween(was, now)
    .filter(({ path: what }) => what.length > 0 && what[0] !== 'order')
    .map(({ path: what, before: from, after: to }) => ({ what, from: from ?? null, to: to ?? null }));
}

/** This computer's own file, so that two of them never write the same one. Not .jsonl: it is no station's journal. */
export const historyFile = (file: string, computer = os.hostname()): string =>
  path.join(
    recordFolder(file),
    `${computer.replace(/[^\p{L}\p{N}_-]/gu, '-').slice(0, 60) || 'computer'}.changes`,
  );

/**
 * Keeps who changed which prescription when, in the record's folder, a line each, flushed to the disk. A folder that
 * refuses does not stop the save: the scenario itself is written.
 * @param now ISO 8601 in UTC
 */
export async function noteChanges(file: string, before: string, after: string, now: string): Promise<void> {
  const changes = prescriptionChanges(before, after);
  if (changes.length === 0) return;
  const by = os.userInfo().username;
  const lines = changes.map((one): Changed => ({ at: now, by, on: os.hostname(), ...one }));
  const to = historyFile(file);
  try {
    await ownFolder(path.dirname(to));
    const open = await fs.open(to, 'a', await fileMode(path.dirname(to)));
    try {
      await open.appendFile(lines.map((line) => `${JSON.stringify(line)}\n`).join(''));
      await open.sync();
    } finally {
      await open.close();
    }
  } catch {
    // Told by nothing: the save stands, and the versions kept beside the settings show the change too.
  }
}
