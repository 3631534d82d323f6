import { describe, expect, test } from 'vitest';
import { planFrom } from '../../electron/command/planFrom.ts';
import { audit } from '../../src/audit/audit.ts';
import type { Activity } from '../../src/plan/plan.ts';
import { continued } from '../../src/record/continue.ts';
import type { Draft } from '../../src/record/entries.ts';
import { startAt } from '../../src/record/from.ts';
import { sha256Of } from '../../src/record/hash.ts';
import { lineOf, NO_LINE, type Noted, readJournal } from '../../src/record/journal.ts';
import { readScenario } from '../../src/scenario/read.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, tinyWorld } from '../world.ts';
import { noted } from './book.ts';

/** Two machines on two sources, one patient who takes a 6.5 L bag each 2 hours (80 kg x 40.625 mL/kg/h = 3.25 L/h). */
const world = tinyWorld({
  patients: [{ id: 'bed-1', weight: 80, dose: 40.625, bath: '2K' }],
  machines: [
    { id: 'M1', flow: 800, positions: 8, water: 'RO-A' },
    { id: 'M2', flow: 800, positions: 8, water: 'RO-B' },
  ],
  water: [
    { id: 'RO-A', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: at(0) },
    { id: 'RO-B', capacity: 1600, testEvery: 240, testMinutes: 10, lastTest: at(0) },
  ],
  shifts: [
    { id: 'day', from: '00:00', to: '16:00', technicians: 2 },
    { id: 'late', from: '16:00', to: '00:00', technicians: 1 },
  ],
  stock: [{ lot: 'P-1', bath: '2K', bags: 10, litres: 6.5 }],
  rules: { rounds: ['06:00', '12:00', '18:00'], reserve: { '2K': 8 } },
});
const circuit = noted(40, { kind: 'circuit', machine: 'M1', bath: '2K' });
const fill = noted(60, { kind: 'fill', machine: 'M1' });
const off = noted(128, { kind: 'off', machine: 'M1', good: 8 });
const LOT = 'M1 2031-02-03 01:00';

/** The plan from now on, which the plan check passes. */
async function planned(scenario: Scenario, entries: readonly Noted[], now: number) {
  const start = startAt(scenario, entries, now);
  const plan = await planFrom(start, { tries: 100 });
  expect(audit(start.problem, plan.activities, { now }).violations).toEqual([]);
  return { ...start, plan, lots: new Map(start.state.lots.map((lot) => [lot.lot, lot])) };
}
const draws = (one: Activity) => one.kind === 'circuit' || one.kind === 'bath' || one.kind === 'fill';

describe('ordinary mishaps of a day', () => {
  test('a: a test fails whose last pass was hours ago: nothing runs before a new pass', async () => {
    const fail = noted(190, { kind: 'test', water: 'RO-A', result: 'fail' });
    const { plan, problem } = await planned(world, [circuit, fail], 191);
    const passes = plan.activities.filter((one) => one.kind === 'test' && one.water === 'RO-A');
    const runs = plan.activities.filter((one) => draws(one) && 'machine' in one && one.machine === 'M1');
    const first = Math.min(...passes.map(({ end }) => end));
    for (const { start } of runs) expect(start).toBeGreaterThanOrEqual(first);
    // The other source is as good as it was.
    expect(problem.water.map(({ lastTest }) => lastTest)).toEqual([null, 0]);
  });
  test('b: 2 of 8 bags lost, then the test fails: the 6 left are on hold too, under their own name', async () => {
    const lost = noted(150, { kind: 'discard', lot: LOT, bags: 2, why: 'leak' });
    const fail = noted(190, { kind: 'test', water: 'RO-A', result: 'fail' });
    const { lots, problem } = await planned(world, [circuit, fill, off, lost, fail], 191);
    expect(lots.get(LOT)).toMatchObject({ good: 0, held: 6, discarded: 2, balance: 0 });
    expect(problem.lots.map(({ id }) => id)).toEqual(['P-1']);
  });
  test('c: a fill lost on one machine, or water failed on one source, leaves the good fill on the other alone', async () => {
    const other = [
      noted(40, { kind: 'circuit', machine: 'M2', bath: '2K' }),
      noted(62, { kind: 'fill', machine: 'M2' }),
    ];
    const begun = [circuit, fill, ...other];
    const stays = { kind: 'fill', machine: 'M1', start: 60 };
    const stop = noted(100, { kind: 'stop', machine: 'M2', why: 'leak' });
    const lost = await planned(world, [...begun, stop], 100);
    expect(lost.plan.activities).toContainEqual(expect.objectContaining(stays));
    const fail = noted(100, { kind: 'test', water: 'RO-B', result: 'fail' });
    const failed = await planned(world, [...begun, fail], 100);
    expect(failed.plan.activities).toContainEqual(expect.objectContaining(stays));
    expect(failed.stopped).toEqual(['M2']);
  });
  // Common practice, no source: 8 bags of 6.5 to 7.5 L at 800 mL/min take 65 to 75 min.
  test('d: a fill that began 20 min late: its window moves 20 min', async () => {
    const late = noted(80, { kind: 'fill', machine: 'M1' });
    const { plan, state } = await planned(world, [circuit, late], 90);
    expect(state.machines[0]!.underWay).toMatchObject({ earliestEnd: 145, latestEnd: 155 });
    const going = plan.activities.find((one) => one.kind === 'fill' && one.start === 80)!;
    expect(going.end).toBeGreaterThanOrEqual(145);
    expect(going.end).toBeLessThanOrEqual(155);
    expect(plan.activities).toContainEqual({
      kind: 'swap',
      machine: 'M1',
      start: going.end,
      end: going.end + 8,
    });
  });
  describe('bags are called back that hang or wait on the ward', () => {
    const ward = { ...world, stock: [...world.stock!, { lot: 'P-2', bath: '2K', bags: 6, litres: 6.5 }] };
    const load = (lot: string, bags: number, bed?: string) => ({
      lot,
      bath: '2K',
      bags,
      ...(bed && { bed }),
    });
    const left = (minute: number, ...loads: object[]) => noted(minute, { kind: 'leave', round: 0, loads });
    const held = noted(125, { kind: 'hold', lot: 'P-1', why: 'a leak' });
    test('who has them, what comes down, what comes back, what takes their place', async () => {
      // Hung at 0, 2 h (until 4 h); still to be hung at 4 and 6 h.
      const { state, plan } = await planned(ward, [left(1, load('P-1', 4, 'bed-1')), held], 130);
      expect(state.recall).toEqual([
        {
          lot: 'P-1',
          bath: '2K',
          bags: 4,
          round: 0,
          at: 1,
          bed: 'bed-1',
          hanging: 1,
          waiting: 2,
          beds: ['bed-1'],
          replace: 3,
        },
      ]);
      expect(state.dueNow).toEqual([3, 0]);
      expect(plan.needs[0]).toMatchObject({ bath: '2K', round: 0, bags: 3, unmetLitres: 0 });
    });
    test('once they are carried nothing more is due, then and when the next bag hangs', async () => {
      const entries = [left(1, load('P-1', 4, 'bed-1')), held, left(131, load('P-2', 3, 'bed-1'))];
      for (const minute of [132, 239, 241, 300])
        expect(startAt(ward, entries, minute).state.dueNow).toEqual([0, 0]);
      expect(startAt(ward, entries, 250).state.recall).toMatchObject([
        { hanging: 0, waiting: 2, replace: 0 },
      ]);
    });
    test('of two lots at a bed the one called back counts as hanging; where no bed was noted, each that may have it', async () => {
      const two = startAt(ward, [left(1, load('P-2', 2, 'bed-1'), load('P-1', 2, 'bed-1')), held], 130).state;
      expect(two.recall).toMatchObject([{ hanging: 1, waiting: 1, replace: 2 }]);
      // One good bag waits for 4 h: the one that hangs and the one of 6 h are missing.
      expect(two.dueNow).toEqual([2, 0]);
      const nobody = startAt(ward, [left(1, load('P-1', 4)), held], 130).state;
      expect(nobody.recall).toMatchObject([{ hanging: 1, waiting: 2, beds: ['bed-1'] }]);
      expect(nobody.recall[0]).not.toHaveProperty('bed');
    });
    test('nobody hangs one after the call-back: what should hang by then is missing', () => {
      const { state } = startAt(ward, [left(1, load('P-1', 4, 'bed-1')), held], 250);
      expect(state.recall).toMatchObject([{ hanging: 0, waiting: 2, replace: 2 }]);
      // The one of 4 h, which nobody could hang, and the one of 6 h.
      expect(state.dueNow).toEqual([2, 0]);
    });
    test('one of the bag round before that still hangs must come down too', () => {
      const later = noted(361, { kind: 'leave', round: 1, loads: [load('P-2', 3, 'bed-1')] });
      const late = noted(425, { kind: 'hold', lot: 'P-1' });
      // 06:00 covers 7 to 13 h; the bag hung at 6 h hangs until 8 h.
      const { state } = startAt(ward, [left(1, load('P-1', 4, 'bed-1')), later, late], 430);
      expect(state.recall).toMatchObject([{ round: 0, hanging: 1, waiting: 0, replace: 1 }]);
      expect(state.dueNow).toEqual([1, 0]);
    });
  });
  test('e: the bath changed after the round left: extra bags are due now, the old round stands', async () => {
    const left = noted(1, { kind: 'leave', round: 0, loads: [{ lot: 'P-1', bath: '2K', bags: 4 }] });
    const changed = {
      ...world,
      patients: [{ ...world.patients[0]!, changes: [{ at: at(180), bath: '4K' }] }],
      stock: [...world.stock!, { lot: 'P-4', bath: '4K', bags: 3, litres: 6.5 }],
    };
    const { plan, state, lots, problem } = await planned(changed, [left], 175);
    expect(state.dueNow).toEqual([0, 2]);
    expect(lots.get('P-1')).toMatchObject({ good: 6, left: 4 });
    expect(plan.needs[0]).toMatchObject({ bath: '4K', round: 0, at: 175, bags: 2, unmetLitres: 0 });
    expect(problem.rounds[0]).toMatchObject({ at: 175 });
  });
  test('f: one technician goes home: what is running ends in its window, late tasks stay late', async () => {
    const home = noted(90, { kind: 'staff', shift: 'day', date: '2031-02-03', technicians: 1 });
    const other = [
      noted(40, { kind: 'circuit', machine: 'M2', bath: '2K' }),
      noted(60, { kind: 'fill', machine: 'M2' }),
    ];
    const { plan, problem } = await planned(world, [circuit, fill, ...other, home], 95);
    const ends = plan.activities
      .filter((one) => one.kind === 'fill' && one.start === 60)
      .map(({ end }) => end)
      .sort();
    // Both windows are 125 to 135; one person takes 8 minutes each.
    expect(ends).toHaveLength(2);
    expect(ends[0]).toBeGreaterThanOrEqual(125);
    expect(ends[1]).toBeLessThanOrEqual(135);
    expect(ends[1]! - ends[0]!).toBeGreaterThanOrEqual(8);
    expect(problem.staff[900]).toBe(1);
    // Two bags off too late: told as overfull, kept on hold, not lost.
    const late = startAt(world, [circuit, fill, home], 140);
    expect(late.state.machines[0]!.underWay).toMatchObject({
      overfull: true,
      earliestEnd: 125,
      latestEnd: 135,
    });
    const came = startAt(
      world,
      [circuit, fill, home, noted(141, { kind: 'off', machine: 'M1', good: 8 })],
      150,
    );
    expect(came.state.lots.find(({ lot }) => lot === LOT)).toMatchObject({ good: 0, held: 8 });
  });
  test('g: undo of an edit and reopening lose nothing of the record', () => {
    const drafts: Draft[] = [circuit, fill, off].map(
      ({ entry: { n: _n, id: _i, noted: _t, before: _b, ...draft } }) => draft as Draft,
    );
    let last = { n: 0, hash: NO_LINE };
    const text = drafts
      .map((draft) => {
        const line = lineOf(draft, 'icu', `${draft.at}:00Z`, last);
        last = { n: last.n + 1, hash: sha256Of(line) };
        return `${line}\n`;
      })
      .join('');
    const reopened = readJournal('icu.jsonl', text).noted;
    const before = startAt(world, reopened, 200).state;
    expect(before.lots.find(({ lot }) => lot === LOT)).toMatchObject({ good: 8 });
    // An edit of the start of the week and its undo: the scenario is another object, the record is not part of it.
    const edited = { ...world, start: '2031-02-02T23:00' };
    const undone = { ...edited, start: world.start };
    const moved = startAt(edited, reopened, 260).state;
    expect(moved.lots.find(({ lot }) => lot === LOT)).toMatchObject({
      good: 8,
      made: 8,
      expires: 128 + 7200 + 60,
    });
    expect(JSON.stringify(startAt(undone, reopened, 200).state)).toBe(JSON.stringify(before));
  });
  test("h: a machine out until 08:01 next day is back in next week's plan", async () => {
    const out = noted(1200, { kind: 'out', machine: 'M1', until: '2031-02-04T08:01' });
    const { state } = startAt(world, [circuit, fill, off, out], 1430);
    const { scenario, entries } = continued(world, state, 'AB');
    const read = readScenario(JSON.stringify(scenario));
    expect(read.ok).toBe(true);
    expect(scenario.start).toBe('2031-02-03T23:50');
    const going = entries.map((draft, index) => ({
      entry: {
        ...draft,
        n: index + 1,
        id: `desk/${index + 1}`,
        noted: '2031-02-03T23:50:00Z',
        before: NO_LINE,
      },
      file: 'desk.jsonl',
      line: index + 1,
    })) as Noted[];
    const { problem } = startAt(scenario, going, 0);
    // 08:01 is 491 minutes after 23:50.
    expect(problem.machines[0]!.windows).toEqual([{ from: 491, to: 1440 }]);
    expect(problem.machines[0]!.loaded).toEqual({ bath: 0, since: 10 - 1430 });
  });
});

test('a week goes on into the next with its bags on hold, its fill under way and its failed test', () => {
  const going = noted(1380, { kind: 'fill', machine: 'M1' });
  const again = noted(1300, { kind: 'circuit', machine: 'M1', bath: '2K' });
  const fail = noted(1000, { kind: 'test', water: 'RO-B', result: 'fail' });
  const hold = noted(1001, { kind: 'hold', lot: LOT, bags: 3, why: 'label' });
  const { state } = startAt(world, [circuit, fill, off, fail, hold, again, going], 1400);
  const { scenario, entries } = continued(world, state, 'AB');
  expect(scenario.water.map(({ lastTest }) => lastTest)).toEqual([at(0), null]);
  const first = entries.map((draft, index) => ({
    entry: {
      ...draft,
      n: index + 1,
      id: `desk/${index + 1}`,
      noted: '2031-02-03T23:20:00Z',
      before: NO_LINE,
    },
    file: 'desk.jsonl',
    line: index + 1,
  })) as Noted[];
  const next = startAt(scenario, first, 0).state;
  expect(next.water.map(({ last }) => last)).toEqual(['pass', 'fail']);
  const lotIn = (one: typeof state) => one.lots.find(({ lot }) => lot === LOT)!;
  // The rounds until then took six of the eight; of the two left both were among the three put aside.
  expect([lotIn(state).good, lotIn(state).held]).toEqual([0, 2]);
  expect([lotIn(next).good, lotIn(next).held]).toEqual([0, 2]);
  expect(next.machines[0]!.underWay).toMatchObject({ kind: 'fill', start: -20, earliestEnd: 45 });
});
