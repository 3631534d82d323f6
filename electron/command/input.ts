import { readFileSync, statSync } from 'node:fs';
import { faultLine, MOST_CHARACTERS, readScenario } from '../../src/scenario/read.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

/** Bad input: each line names file and field, what is wrong and what would be right. Exit status 2. */
export class InputError extends Error {
  readonly lines: readonly string[];
  constructor(lines: readonly string[]) {
    super(lines.join('\n'));
    this.lines = lines;
  }
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'no such file. Expected: the path of a scenario file',
  EISDIR: 'a folder. Expected: the path of a scenario file',
  EACCES: 'may not be read. Expected: a file that you may read',
  EPERM: 'may not be read. Expected: a file that you may read',
  ENOTDIR: 'no such file. Expected: the path of a scenario file',
  ELOOP: 'a link that leads in a circle. Expected: the path of a scenario file',
  ENAMETOOLONG: 'no such file. Expected: the path of a scenario file',
  ERR_ENCODING_INVALID_ENCODED_DATA: 'not UTF-8 text. Expected: a scenario file in JSON, UTF-8',
};

/**
 * A scenario from a file, with its warnings as lines. A file that is far too large is refused unread.
 * @throws InputError with one line a fault
 */
export function loadScenario(file: string): { scenario: Scenario; warnings: string[] } {
  let text: string;
  try {
    const { size } = statSync(file);
    if (size > MOST_CHARACTERS)
      throw new InputError([
        `${file}: the file has ${Math.round(size / 1e6)} MB. Expected: a scenario file of at most ${MOST_CHARACTERS / 1e6} MB`,
      ]);
    text = new TextDecoder('utf-8', { fatal: true }).decode(readFileSync(file));
  } catch (error) {
    if (error instanceof InputError) throw error;
    const { code = '', message } = error as NodeJS.ErrnoException;
    throw new InputError([
      `${file}: ${REASONS[code] ?? `cannot be read: ${message}. Expected: a file that can be read`}`,
    ]);
  }
  const read = readScenario(text);
  if (!read.ok)
    throw new InputError(
      read.faults.filter(({ level }) => level === 'error').map((fault) => faultLine(file, fault)),
    );
  return {
    scenario: read.scenario,
    warnings: read.warnings.map((fault) => `warning: ${faultLine(file, fault)}`),
  };
}

/**
 * The scenarios of several files, each with its warnings.
 * @throws InputError with the faults of all of them
 */
export function loadScenarios(files: readonly string[]): ReturnType<typeof loadScenario>[] {
  const lines: string[] = [];
  const loaded = files.flatMap((file) => {
    try {
      return [loadScenario(file)];
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      lines.push(...error.lines);
      return [];
    }
  });
  if (lines.length > 0) throw new InputError(lines);
  return loaded;
}
