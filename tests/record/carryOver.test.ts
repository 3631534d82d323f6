import { describe, expect, test } from 'vitest';
import type { Activity } from '../../src/plan/plan.ts';
import { carriedOver } from '../../src/record/carryOver.ts';
import { roundDeclared } from '../../src/record/declare.ts';
import { startAt } from '../../src/record/from.ts';
import { NO_LINE, type Noted } from '../../src/record/journal.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, batch, bathChange, circuit, fill, tinyWorld, test as waterTest } from '../world.ts';

const old = tinyWorld({
  stock: [
    { lot: 'P-1', bath: '2K', bags: 4, litres: 6.5 },
    { lot: 'M1 2031-02-03T01:00, left', bath: '2K', bags: 6, litres: 6.5, ready: at(150), expires: at(7000) },
  ],
  inUse: {
    start: at(0),
    now: at(400),
    activities: [
      circuit(20),
      ...batch(60),
      ...batch(200),
      waterTest(220),
      waterTest(300),
      ...batch(350),
      ...batch(500),
    ],
  },
  lost: [
    { machine: 'M1', at: at(60) },
    { water: 'RO', at: at(300) },
  ],
});
const noted = (drafts: ReturnType<typeof carriedOver>['entries']): Noted[] =>
  drafts.map((draft, index) => ({
    entry: { ...draft, n: index + 1, id: `desk/${index + 1}`, noted: `${draft.at}:00Z`, before: NO_LINE },
    file: 'desk.jsonl',
    line: index + 1,
  })) as Noted[];

test("an older file's history becomes entries: what was done, lost, and left of it", () => {
  const { scenario, entries } = carriedOver(old, 'AB');
  expect([scenario.inUse, scenario.lost, scenario.stock!.map(({ lot }) => lot)]).toEqual([
    undefined,
    undefined,
    ['P-1'],
  ]);
  expect(entries.map(({ kind }) => kind)).toEqual([
    'circuit',
    'fill',
    'off',
    'fill',
    'test',
    'off',
    'test',
    'fill',
  ]);
  const { state } = startAt(scenario, noted(entries), 400);
  expect(state.machines[0]).toMatchObject({
    bath: '2K',
    circuitSince: 20,
    underWay: { kind: 'fill', start: 350 },
  });
  expect(state.water[0]).toMatchObject({ last: 'fail', lastEnd: 310 });
  // The failed test of 05:00 takes what ran since the pass of 03:50, the part lot not: its fill ended before.
  expect(state.lots.map(({ lot, good, held, discarded }) => [lot, good, held, discarded])).toEqual([
    ['P-1', 4, 0, 0],
    ['M1 2031-02-03 01:00', 6, 0, 2],
    ['M1 2031-02-03 03:20', 0, 8, 0],
  ]);
});
test('a file without history, or whose plan in use cannot be read, has no entries', () => {
  expect(carriedOver(tinyWorld(), 'AB')).toEqual({ scenario: tinyWorld(), entries: [] });
  const broken = { ...old, inUse: { ...old.inUse!, start: at(1) } };
  expect(carriedOver(broken, 'AB')).toEqual({ scenario: broken, entries: [] });
});

describe('of the plan in use', () => {
  type Part = Partial<Scenario>;
  const machine = (id: string, positions = 8) => ({ id, flow: 800, positions, water: 'RO' });
  const told = (activities: readonly Activity[], more: Part = {}, now = 100) => {
    const scenario = tinyWorld({
      machines: [machine('M(1)', 6), machine('M.2')],
      inUse: { start: at(0), now: at(now), activities: activities as never },
      ...more,
    });
    const { entries, scenario: rest } = carriedOver(scenario, 'AB');
    return { entries, stock: rest.stock?.map(({ lot }) => lot) };
  };
  const kindsOf = (activities: readonly Activity[], more: Part = {}, now = 100) =>
    told(activities, more, now).entries.map(({ kind, at: time }) => [kind, time]);
  const [one, two] = ['M(1)', 'M.2'] as const;

  test('what ended by its minute is done, what began before is under way, what begins then is not noted', () => {
    expect(kindsOf([fill(30, '2K', one, 70)])).toEqual([
      ['fill', at(30)],
      ['off', at(100)],
    ]);
    expect(kindsOf([fill(30, '2K', one, 71)])).toEqual([['fill', at(30)]]);
    expect(kindsOf([fill(99, '2K', one)])).toEqual([['fill', at(99)]]);
    expect(kindsOf([fill(100, '2K', one)])).toEqual([]);
    expect(kindsOf([waterTest(90), waterTest(91)])).toEqual([['test', at(100)]]);
  });
  test('set-ups are in place as they end, with their begin, but for those that were lost', () => {
    const setUps = [circuit(10, '2K', one), bathChange(50, '4K', one), circuit(10, '2K', two)];
    const named = (lost: Part['lost']) =>
      told(setUps, { lost }).entries.map((entry) => 'machine' in entry && [entry.kind, entry.machine]);
    expect(told(setUps).entries[0]).toEqual({
      kind: 'circuit',
      at: at(40),
      by: 'AB',
      machine: one,
      bath: '2K',
      began: at(10),
    });
    const all = [
      ['circuit', one],
      ['circuit', two],
      ['bath', one],
    ];
    expect(named(undefined)).toEqual(all);
    expect(named(null as never)).toEqual(all);
    expect(named([{ machine: two, at: at(10) }])).toEqual([all[0], all[2]]);
    expect(named([{ machine: one, at: at(11) }])).toEqual(all);
    expect(named([{ water: one, at: at(10) }])).toEqual(all);
  });
  test('a whole fill has as many bags as its machine fills; a lost one what was left of it, or nothing', () => {
    const fills = [fill(0, '2K', one), fill(0, '2K', two)];
    const lost = [{ machine: one, at: at(0) }];
    const row = (lot: string, bags: number) => ({ lot, bath: '2K', bags, litres: 6.5 });
    const ends = (more: Part) => told(fills, more).entries.slice(2);
    const full = (id: string, good: number) => ({ kind: 'off', at: at(65), by: 'AB', machine: id, good });
    expect(ends({})).toEqual([full(one, 6), full(two, 8)]);
    const why = 'lost, by the older file';
    const stop = { kind: 'stop', at: at(65), by: 'AB', machine: one, why };
    expect(ends({ lost })).toEqual([stop, full(two, 8)]);
    const part = { ...full(one, 4), rejected: [{ reason: why, bags: 2 }] };
    for (const name of ['M(1) 2031-02-03T00:00, left', 'M(1) 2031-02-03T00:00, left (2)']) {
      expect(ends({ lost, stock: [row(name, 4), row('P-1', 3)] })).toEqual([part, full(two, 8)]);
      expect(told(fills, { lost, stock: [row(name, 4), row('P-1', 3)] }).stock).toEqual(['P-1']);
    }
    // Stock of another name is no part of it.
    for (const name of [
      'P-1',
      'M1 2031-02-03T00:00, left',
      'M(1) 2031-02-03T00:01, left',
      'xM(1) 2031-02-03T00:00, left',
    ]) {
      expect(ends({ lost, stock: [row(name, 4)] })).toEqual([stop, full(two, 8)]);
      expect(told(fills, { lost, stock: [row(name, 4)] }).stock).toEqual([name]);
    }
    expect(ends({ lost, stock: [row('M(1) 2031-02-03T00:00, left', 0)] })[0]).toEqual(stop);
    expect(told(fills).stock).toBeUndefined();
  });
});

test('a round that nobody has cannot be declared', () => {
  expect(roundDeclared(tinyWorld(), 0, 'carried', 'AB')).toEqual({
    kind: 'leave',
    at: at(0),
    by: 'AB',
    round: 0,
    loads: [],
    declared: 'carried',
  });
  expect(() => roundDeclared(tinyWorld(), 99, 'carried', 'AB')).toThrow('no bag round 99');
});
