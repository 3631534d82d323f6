import { type ChildProcess, spawn } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { unzipSync, zipSync } from 'fflate';
import { loadRegion } from '../../electron/command/regionInput.ts';
import { createDrafts } from '../../electron/files/drafts.ts';
import { readText } from '../../electron/files/files.ts';
import { createRecent } from '../../electron/files/recent.ts';
import { auditPlan } from '../../src/audit/audit.ts';
import { fromClipboard } from '../../src/grid/clipboard.ts';
import { fromCsv } from '../../src/grid/csv.ts';
import { isPlainNumber, quantity } from '../../src/grid/formula.ts';
import { plan } from '../../src/planner/plan.ts';
import { lineOf, readJournal } from '../../src/record/journal.ts';
import { fromXlsx, toXlsx } from '../../src/reports/workbook.ts';
import { changeWords, readChanges } from '../../src/scenario/changed.ts';
import { repairable } from '../../src/scenario/faults/repairable.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { readScenario, writeScenario } from '../../src/scenario/read.ts';
import { generate } from '../bench/generate.ts';
import { chanceOf, mutated } from './chance.ts';

/** What a part of the soak came to: figures, and what went wrong. */
export interface Soaked {
  readonly figures: Readonly<Record<string, number>>;
  readonly faults: readonly string[];
}

const week = generate({ seed: 7, kind: 'week' });
const utf8 = (text: string) => new TextEncoder().encode(text);
const text = (bytes: Uint8Array) => new TextDecoder().decode(bytes);

/** A journal of a few lines, each with the digest of the one before. */
function journal(): string {
  let text = '';
  for (let n = 1; n <= 5; n++) {
    const { last } = readJournal('icu-desk.jsonl', text);
    const draft = { kind: 'note', at: '2031-02-03T08:00', by: 'ab', text: `note ${n}` } as const;
    text += `${lineOf(draft, 'icu-desk', '2031-02-03T14:00:00.000Z', last)}\n`;
  }
  return text;
}

const REGION = {
  format: 'bathtide-region',
  version: 1,
  transit: [{ from: 'A.json', to: 'B.json', hours: 5, bagsPerDay: 60 }],
};
const HISTORY = ['dose', 'weight'].map((field) => ({
  at: '2031-02-03T14:00:00.000Z',
  by: 'kim',
  on: 'icu-desk',
  what: ['bed-04', field],
  from: 25,
  to: 30,
}));

interface Kind {
  readonly name: string;
  readonly bytes: Uint8Array;
  readonly read: (bytes: Uint8Array) => unknown;
  /** Else the bytes themselves are spoilt. */
  readonly spoil?: (chance: () => number) => Uint8Array;
  /** What an error in words begins with; without it reading never throws. */
  readonly words?: RegExp;
}

/** A workbook of which one part is spoilt within, so that its reader sees more than a broken archive. */
const spoiltWithin = (workbook: Uint8Array) => (chance: () => number) => {
  const parts = Object.entries(unzipSync(workbook));
  const at = Math.floor(chance() * parts.length);
  return zipSync(
    Object.fromEntries(
      parts.map(([name, bytes], n) => [name, n === at ? mutated(bytes, chance) : bytes] as const),
    ),
    { level: 1 },
  );
};

/** Every kind that is read: from a person, from a folder, from another program, and what the app has left itself. */
async function kindsIn(folder: string): Promise<Kind[]> {
  const rows = [
    ['Bed', 'Weight (kg)', 'Dose (mL/kg/h)'],
    ...week.patients.slice(0, 8).map(({ id, weight, dose }) => [id, weight, dose]),
  ];
  const csv = rows.map((row) => row.join(';')).join('\r\n');
  const scenario = utf8(writeScenario(week));
  const workbook = await toXlsx([{ name: 'Patients', table: rows }]);
  /** Reads it from the disk, as the host does. */
  const onDisk = (name: string, read: (file: string) => unknown) => (bytes: Uint8Array) => {
    const file = path.join(folder, name);
    writeFileSync(file, bytes);
    return read(file);
  };
  mkdirSync(path.join(folder, 'drafts'));
  const drafts = createDrafts(folder);
  const draft = { handle: null, name: 'week.json', text: 'x', base: null, file: null };
  const own = `drafts/${process.pid}-${'0'.repeat(16)}.json`;
  const recent = createRecent(folder);
  return [
    { name: 'scenario', bytes: scenario, read: (bytes) => readScenario(text(bytes)) },
    { name: 'scenario with faults', bytes: scenario, read: (bytes) => repairable(text(bytes)) },
    {
      name: 'scenario on the disk',
      bytes: scenario,
      read: onDisk('week.json', readText),
      words: /^week\.json could not be opened: it is not UTF-8/,
    },
    { name: 'CSV', bytes: utf8(csv), read: (bytes) => fromCsv(text(bytes)), words: /^not CSV/ },
    {
      name: 'pasted block',
      bytes: utf8(csv.replaceAll(';', '\t')),
      read: (bytes) => fromClipboard(text(bytes)),
    },
    {
      name: 'typed cell',
      bytes: utf8('1.2*84 kg + 180 lb'),
      read: (bytes) => [quantity(text(bytes), 'kg'), isPlainNumber(text(bytes))],
    },
    { name: 'journal', bytes: utf8(journal()), read: (bytes) => readJournal('icu-desk.jsonl', text(bytes)) },
    {
      name: 'history of changes',
      bytes: utf8(HISTORY.map((one) => `${JSON.stringify(one)}\n`).join('')),
      read: (bytes) => readChanges([{ name: 'a.changes', text: text(bytes) }]).changes.map(changeWords),
    },
    {
      name: 'edits kept of a page that died',
      bytes: utf8(JSON.stringify({ ...draft, at: '2031-02-03T14:00:00.000Z' })),
      read: onDisk(own, () => drafts.offered('page', new Set())),
    },
    {
      name: 'list of recent files',
      bytes: utf8(JSON.stringify([path.join(folder, 'week.json')])),
      read: onDisk('recent.json', () => recent.there()),
    },
    {
      name: 'file of a region',
      bytes: utf8(JSON.stringify(REGION)),
      read: onDisk('region.json', (file) => loadRegion(file, ['A.json', 'B.json'])),
      words: /region\.json: .*Expected: /,
    },
    { name: 'workbook', bytes: workbook, read: fromXlsx, words: NO_WORKBOOK },
    {
      name: 'workbook with a spoilt part',
      bytes: workbook,
      spoil: spoiltWithin(workbook),
      read: fromXlsx,
      words: NO_WORKBOOK,
    },
  ];
}
const NO_WORKBOOK = /^not an XLSX workbook/;

/** Files of every kind that is read, spoilt: each is read or refused in words, and nothing else happens. */
export async function spoiltFiles(count: number, seed: number): Promise<Soaked> {
  const chance = chanceOf(seed);
  const faults: string[] = [];
  const folder = mkdtempSync(path.join(os.tmpdir(), 'bathtide-soak-'));
  const kinds = await kindsIn(folder);
  const slow = kinds.filter(({ words }) => words === NO_WORKBOOK);
  const quick = kinds.filter(({ words }) => words !== NO_WORKBOOK);
  let refused = 0;
  for (let n = 0; n < count; n++) {
    // A workbook takes a hundred times as long: one in fifty.
    const kind = n % 50 === 0 ? slow[(n / 50) % slow.length]! : quick[n % quick.length]!;
    const bytes = kind.spoil?.(chance) ?? mutated(kind.bytes, chance);
    try {
      await kind.read(bytes);
    } catch (error) {
      const said = error instanceof Error ? error.message : String(error);
      if (kind.words?.test(said)) refused += 1;
      else faults.push(`${kind.name}, file ${n} of seed ${seed}: ${said.slice(0, 200)}`);
    }
  }
  rmSync(folder, { recursive: true, force: true });
  return {
    figures: { files: count, kinds: kinds.length, 'refused by an error in words': refused },
    faults,
  };
}

/** Drawn scenarios, planned with little work and audited. */
export async function drawnPlans(count: number, seed: number): Promise<Soaked> {
  const faults: string[] = [];
  const before = heap();
  let planned = 0;
  for (let n = 0; n < count; n++) {
    const scenario = generate({
      seed: seed + n,
      kind: 'week',
      days: 1 + (n % 2),
      machines: 1 + (n % 3),
      baths: 1 + (n % 3),
      load: 0.4 + (n % 5) / 5,
    });
    try {
      const problem = compile(scenario);
      const made = await plan(problem, { tries: 10, seed: 1 });
      planned += 1;
      const { violations } = auditPlan(problem, made);
      if (violations.length > 0) faults.push(`plan ${seed + n}: ${violations[0]!.message}`);
    } catch (error) {
      faults.push(`plan ${seed + n}: ${error instanceof Error ? error.message : error}`);
    }
  }
  return { figures: { plans: planned, 'heap grown, MB': Math.round((heap() - before) / 1e5) / 10 }, faults };
}

/** bytes in use after what can be freed is freed (run with --expose-gc) */
function heap(): number {
  (globalThis as { gc?: () => void }).gc?.();
  return process.memoryUsage().heapUsed;
}

const HERE = import.meta.dirname;
const start = (script: string, args: readonly string[]): ChildProcess =>
  spawn(process.execPath, ['--import', import.meta.resolve('tsx'), path.join(HERE, script), ...args], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
const ended = (child: ChildProcess) => new Promise<void>((resolve) => child.once('close', () => resolve()));
const heard = (child: ChildProcess) =>
  new Promise<void>((resolve) => child.stdout?.once('data', () => resolve()));

/**
 * A host that saves over and over, killed at a moment of chance: the file is whole, an old state or a new one. The lock
 * that it leaves counts as old at once; else the next ones would be killed while they wait for it.
 */
export async function killedSaves(count: number, seed: number): Promise<Soaked> {
  const chance = chanceOf(seed);
  const faults: string[] = [];
  const folder = mkdtempSync(path.join(os.tmpdir(), 'bathtide-soak-'));
  const file = path.join(folder, 'week.json');
  writeFileSync(file, writeScenario({ ...week, title: 'save 0' }));
  let last = 0;
  let amid = 0;
  const lock = path.join(folder, '.week.json.lock');
  for (let n = 0; n < count; n++) {
    if (existsSync(lock)) {
      amid += 1;
      utimesSync(lock, 0, 0);
    }
    const child = start('editor.ts', [folder, path.join(folder, `config-${n}`), 'saver', '60']);
    await heard(child);
    await new Promise((resolve) => setTimeout(resolve, chance() * 150));
    child.kill('SIGKILL');
    await ended(child);
    const reading = readScenario(readFileSync(file, 'utf8'));
    const saved = reading.ok ? Number(/\d+$/.exec(reading.scenario.title)?.[0]) : Number.NaN;
    if (!reading.ok || !(saved >= last))
      faults.push(`kill ${n}: the file holds save ${saved} after save ${last}`);
    else last = saved;
  }
  rmSync(folder, { recursive: true, force: true });
  return { figures: { kills: count, 'amid a save': amid, saves: last }, faults };
}

/** Hosts on one folder, each with its own beds, all editing one file: at the end every bed holds its last edit. */
export async function together(hosts: number, seconds: number): Promise<Soaked> {
  const folder = mkdtempSync(path.join(os.tmpdir(), 'bathtide-soak-'));
  const file = path.join(folder, 'week.json');
  writeFileSync(file, writeScenario({ ...week, patients: [] }));
  const children = Array.from({ length: hosts }, (_, n) =>
    start('editor.ts', [folder, path.join(folder, `config-${n}`), `host${n}`, String(seconds)]),
  );
  const told = await Promise.all(
    children.map(async (child) => {
      let said = '';
      for await (const part of child.stdout!) said += part;
      return JSON.parse(said.trim().split('\n').at(-1) ?? 'null') as Told | null;
    }),
  );
  const reading = readScenario(readFileSync(file, 'utf8'));
  const faults = reading.ok ? [] : ['the file is no scenario any more'];
  const weights = new Map(reading.ok ? reading.scenario.patients.map(({ id, weight }) => [id, weight]) : []);
  let beds = 0;
  for (const one of told) {
    if (!one) faults.push('a host ended without a word');
    for (const [bed, weight] of Object.entries(one?.beds ?? {})) {
      beds += 1;
      if (weights.get(bed) !== weight)
        faults.push(`${bed} holds ${weights.get(bed)}, its last edit was ${weight}`);
    }
  }
  if (readdirSync(folder).some((name) => /\.lock$|\.tmp-/.test(name)))
    faults.push('something was left behind');
  rmSync(folder, { recursive: true, force: true });
  const sum = (key: 'saves' | 'merged') => told.reduce((all, one) => all + (one?.[key] ?? 0), 0);
  return {
    figures: { hosts, seconds, beds, saves: sum('saves'), merged: sum('merged'), lost: faults.length },
    faults,
  };
}
interface Told {
  readonly beds: Readonly<Record<string, number>>;
  readonly saves: number;
  readonly merged: number;
}
