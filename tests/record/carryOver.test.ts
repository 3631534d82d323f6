import { expect, test } from 'vitest';
import { carriedOver } from '../../src/record/carryOver.ts';
import { startAt } from '../../src/record/from.ts';
import { NO_LINE, type Noted } from '../../src/record/journal.ts';
import { at, batch, circuit, tinyWorld, test as waterTest } from '../world.ts';

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
