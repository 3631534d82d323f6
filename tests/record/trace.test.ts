import { describe, expect, test } from 'vitest';
import type { Noted } from '../../src/record/journal.ts';
import { stateFile } from '../../src/record/stateFile.ts';
import { backward, forward, type Suspect, unbalanced } from '../../src/record/trace.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { at, tinyWorld } from '../world.ts';
import { noted, stateAt } from './book.ts';

const world = tinyWorld({
  machines: [
    { id: 'M1', flow: 800, positions: 8, water: 'RO' },
    { id: 'M2', flow: 800, positions: 8, water: 'RO-B' },
  ],
  water: [
    { id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10 },
    { id: 'RO-B', capacity: 1600, testEvery: 240, testMinutes: 10 },
  ],
  stock: [{ lot: 'P-1', bath: '2K', bags: 10, litres: 6.5 }],
});
const pass = (minute: number) => noted(minute, { kind: 'test', water: 'RO', result: 'pass' });
const circuit = noted(40, {
  kind: 'circuit',
  machine: 'M1',
  bath: '2K',
  lots: { filter: 'F-1', tubing: 'T-1', acid: 'A-2K', bicarbonate: 'B-1' },
});
const entries = [
  pass(5),
  pass(90),
  pass(150),
  circuit,
  noted(40, {
    kind: 'circuit',
    machine: 'M2',
    bath: '2K',
    lots: { filter: 'F-1', acid: 'A-9', bicarbonate: 'B-1' },
  }),
  noted(50, { kind: 'reading', machine: 'M1', pH: 7.2 }),
  noted(60, { kind: 'fill', machine: 'M1' }),
  noted(61, { kind: 'fill', machine: 'M2' }),
  noted(128, { kind: 'off', machine: 'M1', good: 8 }),
  noted(130, { kind: 'off', machine: 'M2', good: 8 }),
  noted(160, { kind: 'bath', machine: 'M1', bath: '4K', lots: { acid: 'A-4K' } }),
  noted(170, { kind: 'fill', machine: 'M1' }),
  noted(240, { kind: 'off', machine: 'M1', good: 8 }),
  noted(260, {
    kind: 'leave',
    round: 0,
    loads: [{ lot: 'M1 2031-02-03 01:00', bath: '2K', bags: 3, bed: 'bed-1' }],
  }),
];
const state = stateAt(world, entries, 300);
const FIRST = 'M1 2031-02-03 01:00';
const SECOND = 'M1 2031-02-03 02:50';
const OTHER = 'M2 2031-02-03 01:01';
const fedBy = (water: string) => (water === 'RO' ? ['M1'] : ['M2']);
const found = (suspect: Suspect) => forward(state, suspect, fedBy).map(({ lot }) => lot);

describe('forward', () => {
  test.each<[string, Suspect, string[]]>([
    ['an acid concentrate', { kind: 'concentrate', part: 'acid', lot: 'A-2K' }, [FIRST]],
    ['the acid after a bath change', { kind: 'concentrate', part: 'acid', lot: 'A-4K' }, [SECOND]],
    [
      'a bicarbonate that went on',
      { kind: 'concentrate', part: 'bicarbonate', lot: 'B-1' },
      [FIRST, OTHER, SECOND],
    ],
    ['a filter', { kind: 'filter', lot: 'F-1' }, [FIRST, OTHER, SECOND]],
    ['tubing', { kind: 'tubing', lot: 'T-1' }, [FIRST, SECOND]],
    ['a circuit, also after its bath changed', { kind: 'circuit', entry: circuit.entry.id }, [FIRST, SECOND]],
    ['a machine', { kind: 'machine', id: 'M1' }, [FIRST, SECOND]],
    ['a machine from a minute on', { kind: 'machine', id: 'M1', from: 130 }, [SECOND]],
    ['a machine until a minute', { kind: 'machine', id: 'M1', to: 100 }, [FIRST]],
    ['water', { kind: 'water', id: 'RO-B' }, [OTHER]],
    ['a lot of stock', { kind: 'lot', lot: 'P-1' }, ['P-1']],
    ['nothing that is known', { kind: 'tubing', lot: 'T-9' }, []],
  ])('%s leads to every lot that it went into', (_, suspect, lots) => {
    expect(found(suspect)).toEqual(lots);
  });
  test('and to where its bags are', () => {
    expect(forward(state, { kind: 'lot', lot: FIRST }, fedBy)).toMatchObject([
      { good: 5, held: 0, discarded: 0, left: [{ bags: 3, bed: 'bed-1', round: 0 }] },
    ]);
  });
});

describe('backward', () => {
  test('a bag leads to who, when, on what, and to the readings and tests around it', () => {
    const made = backward(state, FIRST, (machine) => (machine === 'M1' ? 'RO' : 'RO-B'))!;
    expect(made).toMatchObject({ began: { at: 60, by: 'AB' }, ended: { at: 128, by: 'AB' } });
    expect(made.setUp).toMatchObject({ entry: circuit.entry.id, lots: { acid: 'A-2K', filter: 'F-1' } });
    expect(made.readings.map(({ at }) => at)).toEqual([50]);
    expect(made.tests.map(({ at }) => at)).toEqual([5, 90, 150]);
    const second = backward(state, SECOND, () => 'RO')!;
    expect(second.setUp).toMatchObject({
      bath: '4K',
      circuit: circuit.entry.id,
      lots: { acid: 'A-4K', filter: 'F-1' },
    });
  });
  test('stock leads to itself, an unknown name to nothing', () => {
    expect(backward(state, 'P-1', () => 'RO')).toMatchObject({ began: null, setUp: null, tests: [] });
    expect(backward(state, 'P-9', () => 'RO')).toBeNull();
  });
});

test('a lot that does not add up is shown', () => {
  expect(unbalanced(state)).toEqual([]);
  const counted = stateAt(world, [...entries, noted(270, { kind: 'count', lot: FIRST, bags: 4 })], 300);
  expect(unbalanced(counted).map(({ lot, balance }) => [lot, balance])).toEqual([[FIRST, 1]]);
});

describe('at the borders', () => {
  const small = tinyWorld({
    machines: [
      { id: 'M1', flow: 800, positions: 8, water: 'RO', loaded: { bath: '2K', circuitSince: at(-60) } },
      { id: 'M2', flow: 800, positions: 8, water: 'RO' },
    ],
  });
  const change = noted(40, { kind: 'bath', machine: 'M1', bath: '2K', lots: { acid: 'A-1' } });
  const made = [
    noted(60, { kind: 'fill', machine: 'M1' }),
    noted(128, { kind: 'off', machine: 'M1', good: 8 }),
  ];
  const lots = (suspect: Suspect, entries = made) =>
    forward(stateAt(small, entries, 300), suspect, fedBy).map(({ lot }) => lot);
  test('a machine or its water from or to a minute: what filled then, not what ended or began at it', () => {
    for (const one of [
      { kind: 'machine', id: 'M1' },
      { kind: 'water', id: 'RO' },
    ] as const) {
      expect([lots({ ...one, from: 127 }), lots({ ...one, from: 128 })]).toEqual([[FIRST], []]);
      expect([lots({ ...one, to: 61 }), lots({ ...one, to: 60 })]).toEqual([[FIRST], []]);
    }
    expect(lots({ kind: 'machine', id: 'RO' })).toEqual([]);
  });
  test('what was loaded at the start is no circuit of the record; a bath change by itself can be meant', () => {
    expect(lots({ kind: 'filter', lot: 'F-1' })).toEqual([]);
    expect(lots({ kind: 'circuit', entry: 'icu/0' })).toEqual([]);
    expect(lots({ kind: 'circuit', entry: change.entry.id }, [change, ...made])).toEqual([FIRST]);
    expect(lots({ kind: 'concentrate', part: 'acid', lot: 'A-1' }, [change, ...made])).toEqual([FIRST]);
    expect(lots({ kind: 'concentrate', part: 'bicarbonate', lot: 'A-1' }, [change, ...made])).toEqual([]);
    expect(backward(stateAt(small, made, 300), FIRST, () => 'RO')!.setUp).toBeNull();
  });
  test('of readings and tests the last one before, all meanwhile, the first one after; those at its ends count so', () => {
    const water = (minute: number) => noted(minute, { kind: 'test', water: 'RO', result: 'pass' });
    const reading = (minute: number, machine = 'M1') => noted(minute, { kind: 'reading', machine, pH: 7.2 });
    const around = (minutes: number[]) => {
      const entries = [...made, ...minutes.flatMap((minute) => [water(minute), reading(minute)])];
      const other = [reading(70, 'M2')];
      const found = backward(stateAt(small, [...entries, ...other], 300), FIRST, () => 'RO')!;
      expect(found.tests.map((one) => one.at)).toEqual(found.readings.map((one) => one.at));
      return found.tests.map((one) => one.at);
    };
    expect(around([10, 20, 30])).toEqual([30]);
    expect(around([140, 150])).toEqual([140]);
    expect(around([20, 60, 61, 127, 128, 140])).toEqual([60, 61, 127, 128]);
    expect(around([59, 129])).toEqual([59, 129]);
    expect(backward(stateAt(small, [...made, water(70)], 300), FIRST, () => 'RO-9')!.tests).toEqual([]);
  });
  test('who began and ended it is who noted it', () => {
    const [begin, end] = [
      noted(60, { kind: 'fill', machine: 'M1', by: 'XY' }),
      noted(128, { kind: 'off', machine: 'M1', good: 8, by: 'ZZ' }),
    ];
    expect(backward(stateAt(small, [begin, end], 300), FIRST, () => 'RO')).toMatchObject({
      lot: { lot: FIRST },
      began: { at: 60, by: 'XY' },
      ended: { at: 128, by: 'ZZ' },
    });
    // Nobody noted its end: the next begin says so.
    const next = noted(200, { kind: 'fill', machine: 'M1' });
    expect(backward(stateAt(small, [begin, next], 300), FIRST, () => 'RO')).toMatchObject({
      ended: { at: 200, by: '' },
    });
  });
  test('where bags are: here, on hold, thrown away, gone', () => {
    const entries = [
      ...made,
      noted(150, { kind: 'hold', lot: FIRST, bags: 2 }),
      noted(151, { kind: 'discard', lot: FIRST, bags: 1 }),
    ];
    expect(forward(stateAt(small, entries, 300), { kind: 'lot', lot: FIRST }, fedBy)).toEqual([
      { lot: FIRST, bath: '2K', good: 6, held: 1, discarded: 1, left: [] },
    ]);
  });
});

test('the state as other programs read it', () => {
  const where = tinyWorld({
    patients: [{ id: 'bed-1', weight: 80, dose: 40.625, bath: '2K' }],
    machines: [
      { id: 'M1', flow: 800, positions: 8, water: 'RO', loaded: { bath: '2K', circuitSince: at(-60) } },
    ],
    stock: [{ lot: 'P-1', bath: '2K', bags: 10, litres: 6.5 }],
    rules: { rounds: ['06:00'] },
  });
  const problem = compile(where);
  const load = { lot: 'P-1', bath: '2K', bags: 4 };
  const told = (loads: object[], more: Noted[] = []) =>
    stateFile(problem, stateAt(where, [noted(1, { kind: 'leave', round: 0, loads }), ...more], 130));
  const filling = noted(125, { kind: 'fill', machine: 'M1' });
  expect(told([{ ...load, bags: 1 }], [filling])).toEqual({
    now: 130,
    state: {
      machines: [
        {
          id: 'M1',
          bath: '2K',
          circuitSince: -60,
          underWay: { kind: 'fill', start: 125, earliestEnd: 190, latestEnd: 200 },
          outOfService: false,
        },
      ],
      water: [{ id: 'RO', last: 'pass', lastEnd: 0 }],
      lots: [
        {
          lot: 'P-1',
          bath: '2K',
          litres: 6.5,
          good: 9,
          held: 0,
          left: 1,
          discarded: 0,
          ready: 0,
          expires: null,
        },
      ],
      // 4 and 6 h.
      dueNow: [{ bath: '2K', bags: 2 }],
    },
    recall: [],
  });
  const held = noted(126, { kind: 'hold', lot: 'P-1' });
  const idle = told([load, { ...load, bags: 1, ward: 'ICU', bed: 'bed-1' }], [held]);
  expect(idle.state.machines[0]!.underWay).toBeNull();
  expect(idle.recall).toEqual([
    { lot: 'P-1', bags: 4, round: 0 },
    { lot: 'P-1', bags: 1, round: 0, ward: 'ICU', bed: 'bed-1' },
  ]);
  const made = [
    noted(10, { kind: 'fill', machine: 'M1' }),
    noted(78, { kind: 'off', machine: 'M1', good: 8 }),
  ];
  expect(told([{ ...load, bags: 9 }], made).state).toMatchObject({
    dueNow: [],
    lots: [{ ready: 0 }, { ready: 101, expires: 7278 }],
  });
});
