import path from 'node:path';
import { isLocalTime, makeClock } from '../../src/calendar/clock.ts';
import { fold } from '../../src/record/fold.ts';
import { idsTwice, isGrave, journalFaultText, type Noted, readJournal } from '../../src/record/journal.ts';
import type { Doubt } from '../../src/record/state/books.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { HostError } from '../files/files.ts';
import { readRecord, recordFolder } from '../files/journal.ts';
import { InputError } from './input.ts';

/** The record beside a scenario, as a command reads it. */
interface RecordRead {
  readonly noted: readonly Noted[];
  /** One line each: that nothing is recorded; lines cut off, and set aside. */
  readonly warnings: readonly string[];
}

/**
 * Reads a record's folder; one that is not there is an empty record.
 * @param folder default: beside the file
 * @throws InputError with one line for each entry that cannot be read, is changed or missing, and for a record that is
 *   altogether of another week
 */
export async function loadRecord(
  file: string,
  scenario: Scenario,
  folder = recordFolder(file),
): Promise<RecordRead> {
  const files = await readRecord(folder).catch((error: unknown) => {
    if (error instanceof HostError) throw new InputError([error.message]);
    throw error;
  });
  const journals = files.map(({ name, text }) => readJournal(path.join(folder, name), text));
  const noted = journals.flatMap((journal) => journal.noted);
  const faults = [...journals.flatMap((journal) => journal.faults), ...idsTwice(noted)];
  const grave = faults.filter(isGrave).map(journalFaultText);
  if (grave.length > 0) throw new InputError(grave);
  const horizon = scenario.days * 1440;
  const clock = makeClock(scenario.timeZone, scenario.start);
  const { elsewhere } = fold(clock, noted, horizon, horizon);
  if (noted.length > 0 && elsewhere.length === noted.length)
    throw new InputError([
      `${folder}: this is the record of another week (${elsewhere[0]!.entry.at} to ${elsewhere.at(-1)!.entry.at}). Expected: entries of ${scenario.start} to ${clock.localOf(horizon)}`,
    ]);
  const nothing =
    noted.length > 0
      ? []
      : [
          `warning: ${folder}: nothing is recorded there. This plan takes it that no test, set-up or fill was done. Expected: a record folder, named with --record`,
        ];
  return { noted, warnings: [...nothing, ...faults.map((fault) => `warning: ${journalFaultText(fault)}`)] };
}

/**
 * The minute that --now names.
 * @throws InputError for a time that is none, or lies outside the scenario
 */
export function minuteNow(scenario: Scenario, now: string): number {
  const clock = makeClock(scenario.timeZone, scenario.start);
  const horizon = scenario.days * 1440;
  const minute = isLocalTime(now) ? clock.minuteOf(now) : Number.NaN;
  if (minute >= 0 && minute < horizon) return minute;
  throw new InputError([
    `--now: '${now}' is no time of this scenario. Expected: a local time from ${scenario.start} until before ${clock.localOf(horizon)}`,
  ]);
}

/** What does not fit in the record, as a line. */
export const doubtLine = ({ entry, wrong, expected }: Doubt): string =>
  `warning: ${entry ? `entry ${entry}` : 'the record'}: ${wrong}. Expected: ${expected}.`;
