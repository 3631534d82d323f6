import { describe, expect, test } from 'vitest';
import { backward, forward, type Suspect, unbalanced } from '../../src/record/trace.ts';
import { tinyWorld } from '../world.ts';
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
