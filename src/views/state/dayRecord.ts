import type { NotedLines, RecordPart } from '../../bridge.ts';
import { demandOf } from '../../demand/demand.ts';
import type { Activity } from '../../plan/plan.ts';
import type { Draft } from '../../record/entries.ts';
import { type Start, startAt } from '../../record/from.ts';
import { idsTwice, type Journal, journalFaultText, type Noted, readJournal } from '../../record/journal.ts';
import { testsUnderWay } from '../../record/overdue.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { type Meaning, type Planned, sameClock } from './planned.ts';

/** How far one station's file is known. */
interface KnownFile {
  /** bytes */
  readonly size: number;
  /** Lines that stand. */
  readonly lines: number;
  readonly last: Journal['last'];
  readonly noted: readonly Noted[];
  readonly faults: readonly string[];
}

/** The record of the day as this page knows it, and who notes in it. */
export interface DayRecord {
  readonly files: Readonly<Record<string, KnownFile>>;
  /** Every entry of every station, in the order of the files. */
  readonly noted: readonly Noted[];
  /** What is wrong with the files, a sentence each. */
  readonly faults: readonly string[];
  /** Entries that are on their way to the disk. */
  readonly noting: readonly Draft[];
  /** Why the last entries were not noted; null: they were. */
  readonly failure: string | null;
  /** Entries that were not noted, to be tried again. */
  readonly failed: readonly Draft[];
}
export const NO_RECORD: DayRecord = {
  files: {},
  noted: [],
  faults: [],
  noting: [],
  failure: null,
  failed: [],
};

/** Bytes known of each file, for the host to send only what was added. */
export const knownSizes = ({ files }: DayRecord): Record<string, number> =>
  Object.fromEntries(Object.entries(files).map(([name, { size }]) => [name, size]));

const FRESH: KnownFile = {
  size: 0,
  lines: 0,
  last: readJournal('', '').last,
  noted: [],
  faults: [],
};

function grown(known: KnownFile, name: string, { from, size, text }: Omit<RecordPart, 'name'>): KnownFile {
  const before = from === 0 ? FRESH : known;
  // What is just being written is left for the next reading: its line has no end yet.
  const whole = text.slice(0, text.lastIndexOf('\n') + 1);
  const cut = text.slice(whole.length);
  const read = readJournal(name, whole, { line: before.lines + 1, last: before.last });
  return {
    size: size - new TextEncoder().encode(cut).length,
    lines: before.lines + whole.split('\n').length - 1,
    last: read.last,
    noted: [...before.noted, ...read.noted],
    faults: [...before.faults, ...read.faults.map(journalFaultText)],
  };
}

const withFiles = (record: DayRecord, files: DayRecord['files']): DayRecord => {
  const noted = Object.values(files).flatMap((file) => file.noted);
  const faults = [
    ...Object.values(files).flatMap((file) => file.faults),
    ...idsTwice(noted).map(journalFaultText),
  ];
  return { ...record, files, noted, faults };
};

/** The record with what its files hold beyond what was known. The same object where that is nothing. */
export function withParts(record: DayRecord, parts: readonly RecordPart[]): DayRecord {
  const fresh = parts.filter(({ name, from, size }) => {
    const known = record.files[name];
    return known?.size !== size || from === 0;
  });
  if (fresh.length === 0) return record;
  const files = { ...record.files };
  for (const { name, ...part } of fresh) {
    const known = files[name] ?? FRESH;
    // A reading that was asked for before what is known by now is old.
    if (part.from > 0 && part.from !== known.size) continue;
    files[name] = grown(known, name, part);
  }
  return withFiles(record, files);
}

/** The record with lines that this station has on the disk. */
export function withLines(record: DayRecord, { file, lines, faults }: NotedLines): DayRecord {
  const known = record.files[file] ?? FRESH;
  // A reading may have brought them already.
  const missing = lines.filter((line) => (JSON.parse(line) as { n: number }).n > known.last.n);
  const text = missing.map((line) => `${line}\n`).join('');
  const bytes = new TextEncoder().encode(text).length;
  const added = grown(known, file, { from: -1, size: known.size + bytes, text });
  const told = faults.filter((fault) => !added.faults.includes(fault));
  return withFiles(record, { ...record.files, [file]: { ...added, faults: [...added.faults, ...told] } });
}

/** A scenario with what was done, at a minute. */
interface Asked {
  readonly scenario: Scenario;
  readonly record: DayRecord;
  readonly now: number;
  /** The plan that people follow until now: what it has under way is no surprise. */
  readonly planned?: Pick<Planned, 'scenario' | 'plan'> | null;
}
let last: (Asked & { readonly start: Start; readonly tests: string }) | null = null;

/**
 * Where a plan from now on begins, by the record; null where nothing is noted: the scenario is planned from its start.
 * The scenario has no errors. Remembered for the last asked, since many steps of a session ask alike.
 */
export function startOf({ scenario, record, now, planned }: Asked): Start | null {
  if (record.noted.length === 0) return null;
  // Minutes count from the start: a plan from another one is of no use.
  const plan = planned && sameClock(planned.scenario, scenario) ? planned.plan.activities : [];
  const asAsked = last?.scenario === scenario && last.record.noted === record.noted && last.now === now;
  if (!last || !asAsked || last.tests !== testsIn(plan, last.start)) {
    const start = startAt(scenario, record.noted, now, plan);
    last = { scenario, record, now, start, tests: testsIn(plan, start) };
  }
  return last.start;
}
const testsIn = (plan: readonly Activity[], { state }: Start): string =>
  JSON.stringify(testsUnderWay(plan, state));

/** What a plan is made for and judged by: the scenario, or, on a day that is recorded, what is left of it. */
export function meaningOf(asked: Asked, whole: Meaning): Meaning {
  const start = startOf(asked);
  return start ? { ...whole, problem: start.problem, demand: demandOf(start.problem) } : whole;
}
