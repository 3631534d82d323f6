import { execFile } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { Draft } from '../../../src/record/entries.ts';
import { sha256Of } from '../../../src/record/hash.ts';
import { lineOf, NO_LINE } from '../../../src/record/journal.ts';
import { at, tinyWorld } from '../../world.ts';

const ROOT = path.resolve(import.meta.dirname, '../../..');
let folder = '';
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'plan-on-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const world = tinyWorld({
  patients: [{ id: 'bed-1', weight: 80, dose: 40.625, bath: '2K' }],
  machines: [
    { id: 'M1', flow: 800, positions: 8, water: 'RO' },
    { id: 'M2', flow: 800, positions: 8, water: 'RO' },
  ],
  water: [{ id: 'RO', capacity: 1600, testEvery: 300, testMinutes: 10, lastTest: at(0) }],
  stock: [{ lot: 'P-1', bath: '2K', bags: 10, litres: 6.5 }],
  rules: { rounds: ['06:00', '18:00'] },
});
const ENTRIES: Draft[] = [
  { kind: 'circuit', machine: 'M1', bath: '2K', at: at(40), by: 'AB' },
  { kind: 'fill', machine: 'M1', at: at(60), by: 'AB' },
  { kind: 'off', machine: 'M1', good: 7, rejected: [{ reason: 'leak', bags: 1 }], at: at(128), by: 'AB' },
  {
    kind: 'leave',
    round: 0,
    loads: [{ lot: 'P-1', bath: '2K', bags: 4, bed: 'bed-1' }],
    at: at(130),
    by: 'AB',
  },
  { kind: 'fill', machine: 'M1', at: at(200), by: 'AB' },
];
/** A scenario with its record, in a folder of its own. */
function week(
  name: string,
  drafts: readonly Draft[],
  spoil: (lines: string[]) => string[] = (lines) => lines,
): string {
  const file = path.join(folder, `${name}.json`);
  writeFileSync(file, JSON.stringify(world));
  let last = { n: 0, hash: NO_LINE };
  const lines = drafts.map((draft) => {
    const line = lineOf(draft, 'icu-desk', `${draft.at}:30Z`, last);
    last = { n: last.n + 1, hash: sha256Of(line) };
    return line;
  });
  mkdirSync(path.join(folder, `${name}.record`), { recursive: true });
  writeFileSync(
    path.join(folder, `${name}.record`, 'icu-desk.jsonl'),
    spoil(lines)
      .map((line) => `${line}\n`)
      .join(''),
  );
  return file;
}
const plan = (...args: string[]): Promise<{ status: number; out: string; err: string }> =>
  new Promise((resolve) => {
    const child = execFile(
      'npm',
      ['run', '--silent', 'plan', '--', ...args],
      { cwd: ROOT },
      (_error, out, err) => resolve({ status: child.exitCode ?? -1, out, err }),
    );
  });
const AT_240 = ['--now', at(240), '--seconds', '2'];

it('plans on from what the record leaves, in the agreed shape', async () => {
  const { status, out, err } = await plan(week('good', ENTRIES), ...AT_240, '--json');
  expect(err).not.toContain('BREAKS');
  expect(status).toBe(0);
  const made = JSON.parse(out);
  expect(made).toMatchObject({
    format: 'bathtide-plan',
    now: 240,
    state: {
      machines: [
        {
          id: 'M1',
          bath: '2K',
          circuitSince: 10,
          underWay: { kind: 'fill', start: 200, earliestEnd: 265, latestEnd: 275 },
          outOfService: false,
        },
        { id: 'M2', bath: null, circuitSince: null, underWay: null, outOfService: false },
      ],
      water: [{ id: 'RO', last: 'pass', lastEnd: 0 }],
      lots: [
        {
          lot: 'P-1',
          bath: '2K',
          litres: 6.5,
          good: 6,
          held: 0,
          left: 4,
          discarded: 0,
          ready: 0,
          expires: null,
        },
        {
          lot: 'M1 2031-02-03 01:00',
          bath: '2K',
          litres: 6.5,
          good: 7,
          held: 0,
          left: 0,
          discarded: 1,
          ready: 151,
          expires: 7328,
        },
      ],
      dueNow: [],
    },
    recall: [],
  });
  const fill = made.activities.find(
    ({ kind, start }: { kind: string; start: number }) => kind === 'fill' && start === 200,
  );
  expect(fill.end).toBeGreaterThanOrEqual(265);
  expect(fill.end).toBeLessThanOrEqual(275);
  expect(made.activities.filter((one: { start: number }) => one.start < 240)).toEqual([fill]);
  expect(made.verdict.ok).toBe(true);
  expect(made.verdict.says).not.toContain('00:00');
  expect(made.needs.map(({ round, at: minute }: { round: number; at: number }) => [round, minute])).toEqual([
    [1, 360],
    [2, 1080],
  ]);
});
it('after a failed test nothing runs before another; what left is recalled', async () => {
  const fail: Draft = {
    kind: 'test',
    water: 'RO',
    result: 'fail',
    totalChlorine: 0.3,
    at: at(238),
    by: 'AB',
  };
  const carried: Draft = {
    kind: 'leave',
    round: 0,
    loads: [{ lot: 'M1 2031-02-03 01:00', bath: '2K', bags: 2, ward: 'ICU', bed: 'bed-1' }],
    at: at(230),
    by: 'AB',
  };
  const { status, out } = await plan(week('failed', [...ENTRIES, carried, fail]), ...AT_240, '--json');
  expect(status).toBe(0);
  const made = JSON.parse(out);
  expect(made.state.water).toEqual([{ id: 'RO', last: 'fail', lastEnd: 238 }]);
  expect(made.state.lots[1]).toMatchObject({ good: 0, held: 5, left: 2, discarded: 1 });
  expect(made.recall).toEqual([{ lot: 'M1 2031-02-03 01:00', bags: 2, round: 0, ward: 'ICU', bed: 'bed-1' }]);
  const flows = made.activities.filter(({ kind }: { kind: string }) =>
    ['circuit', 'bath', 'fill'].includes(kind),
  );
  const tests = made.activities.filter(({ kind }: { kind: string }) => kind === 'test');
  expect(tests.length).toBeGreaterThan(0);
  const first = Math.min(...tests.map(({ end }: { end: number }) => end));
  for (const { start } of flows) expect(start).toBeGreaterThanOrEqual(first);
});
it.each([
  [
    'unreadable',
    (lines: string[]) => lines.with(1, 'no entry'),
    /week\.record|unreadable\.record.icu-desk\.jsonl, line 2: .+ Expected: /,
  ],
  [
    'changed',
    (lines: string[]) => lines.with(1, lines[1]!.replace('"AB"', '"CD"')),
    /icu-desk\.jsonl, line 3: .+ Expected: /,
  ],
  ['missing', (lines: string[]) => lines.toSpliced(1, 1), /icu-desk\.jsonl, line 2: .+ Expected: /],
])('an entry %s ends with status 2, file and line; nothing is written', async (name, spoil, words) => {
  const { status, out, err } = await plan(week(name, ENTRIES, spoil), ...AT_240, '--json');
  expect(status).toBe(2);
  expect(out).toBe('');
  expect(err).toMatch(words);
});
it('a folder that is not there is an empty record; one of another week is refused', async () => {
  const file = week(
    'other',
    ENTRIES.map((draft) => ({ ...draft, at: '2030-01-01T07:00' })),
  );
  const empty = await plan(file, ...AT_240, '--json', '--record', path.join(folder, 'none'));
  expect(empty.status).toBe(0);
  expect(empty.err).toMatch(/none: nothing is recorded there\. This plan takes it that no test/);
  expect(JSON.parse(empty.out).state.machines[0].bath).toBeNull();
  const wrong = await plan(file, ...AT_240, '--json');
  expect(wrong.status).toBe(2);
  expect(wrong.err).toMatch(/record of another week.*Expected: /);
});
it('a time outside the scenario, or a record without a time, ends with status 2', async () => {
  const file = week('times', ENTRIES);
  for (const now of ['2031-02-04T00:00', '2031-02-02T23:59', 'noon', '2031-02-30T07:00']) {
    const { status, err } = await plan(file, '--now', now);
    expect(status).toBe(2);
    expect(err).toMatch(/--now: .+ Expected: /);
  }
  const { status, err } = await plan(file, '--record', folder);
  expect(status).toBe(2);
  expect(err).toMatch(/--now/);
});
it('tells a reader what is due, under way and on hold', async () => {
  const { status, out } = await plan(week('read', ENTRIES), ...AT_240);
  expect(status).toBe(0);
  expect(out).toMatch(/By the record at .*04:00/);
  expect(out).toMatch(/Fill of 2K on M1|fill of 2K on M1/);
  expect(out).toMatch(/04:25 to 04:35/);
});
