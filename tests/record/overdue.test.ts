import { describe, expect, test } from 'vitest';
import type { Activity } from '../../src/plan/plan.ts';
import { overdueIn, testsUnderWay } from '../../src/record/overdue.ts';
import { at, bathChange, circuit as circuitAt, fill, swap, test as testAt, tinyWorld } from '../world.ts';
import { noted, stateAt } from './book.ts';

const world = tinyWorld();
const circuit = { kind: 'circuit', machine: 'M1', bath: '2K', start: 10, end: 40 } as const;
const plan = [circuit, fill(40), swap(105), fill(113), swap(178), fill(186), swap(251)];
const SET_UP = noted(42, { kind: 'circuit', machine: 'M1', bath: '2K', began: at(12) });
const BEGUN = noted(50, { kind: 'fill', machine: 'M1' });
const OFF = noted(120, { kind: 'off', machine: 'M1', good: 8, rejected: [], litres: 6.5 });
const starts = (entries: Parameters<typeof stateAt>[1], now: number) =>
  overdueIn(plan, stateAt(world, entries, now)).map(({ kind, start }) => `${kind} ${start}`);

test('what should have begun before now, and is not noted as begun, is overdue; what begins now is not', () => {
  expect(starts([], 10)).toEqual([]);
  expect(starts([], 11)).toEqual(['circuit 10']);
  expect(starts([], 114)).toEqual(['circuit 10', 'fill 40', 'fill 113']);
});
test('what was begun late is begun, under way or over', () => {
  expect(starts([SET_UP], 49)).toEqual(['fill 40']);
  expect(starts([SET_UP, BEGUN], 100)).toEqual([]);
  expect(starts([SET_UP, BEGUN, OFF], 130)).toEqual(['fill 113']);
});
test('a fill that was stopped was begun; what a machine passed over is not asked for again', () => {
  expect(starts([SET_UP, BEGUN, noted(60, { kind: 'stop', machine: 'M1' })], 70)).toEqual([]);
  const old = noted(5, { kind: 'circuit', machine: 'M1', bath: '2K', began: at(-25) });
  // It filled on the circuit that was in place.
  expect(starts([old, noted(45, { kind: 'fill', machine: 'M1' })], 60)).toEqual([]);
});
test('what should have begun more than two hours ago is given up', () => {
  expect(starts([], 130)).toEqual(['circuit 10', 'fill 40', 'fill 113']);
  expect(starts([], 131)).toEqual(['fill 40', 'fill 113']);
});
test('a set-up that goes on has begun: it is not begun again', () => {
  const going = noted(42, { kind: 'circuit', machine: 'M1', bath: '2K', began: at(12) }, { told: 12 });
  expect(starts([going], 20)).toEqual([]);
  const change = { kind: 'bath', machine: 'M1', bath: '4K', start: 113, end: 123 } as const;
  const changing = noted(125, { kind: 'bath', machine: 'M1', bath: '4K', began: at(115) }, { told: 115 });
  const two = [circuit, fill(40), swap(105), change, fill(123, '4K')];
  const at124 = (entries: Parameters<typeof stateAt>[1]) => overdueIn(two, stateAt(world, entries, 124));
  expect(at124([SET_UP, BEGUN, OFF])).toEqual([change, two[4]]);
  expect(at124([SET_UP, BEGUN, OFF, changing])).toEqual([two[4]]);
});

test('a test of the plan is under way from its begin to its end, unless one is noted since', () => {
  const under = (entries: Parameters<typeof stateAt>[1], now: number, of = testAt(60)) =>
    testsUnderWay([...plan, of], stateAt(world, entries, now)).map(({ start, end }) => [start, end]);
  expect([60, 61, 69, 70].map((now) => under([], now).length)).toEqual([0, 1, 1, 0]);
  expect(under([], 65)).toEqual([[60, 70]]);
  const tested = (minute: number, result: 'pass' | 'fail') =>
    noted(minute, { kind: 'test', water: 'RO', result });
  expect(under([tested(59, 'pass')], 65)).toEqual([[60, 70]]);
  expect(under([tested(64, 'pass')], 65)).toEqual([]);
  expect(under([tested(64, 'fail')], 65)).toEqual([]);
  expect(under([], 65, testAt(60, 'elsewhere'))).toEqual([]);
});

describe('of several machines and baths', () => {
  const wide = tinyWorld({
    stock: [{ lot: 'P-1', bath: '2K', bags: 4, litres: 6.5 }],
    machines: ['M1', 'M2'].map((id) => ({ id, flow: 800, positions: 8, water: 'RO' })),
  });
  const setUp = (minute: number, machine: string, bath = '2K', kind: 'circuit' | 'bath' = 'circuit') =>
    noted(minute, { kind, machine, bath });
  const filled = (minute: number, machine = 'M1') => [
    noted(minute, { kind: 'fill', machine }),
    noted(minute + 65, { kind: 'off', machine, good: 8 }),
  ];
  const late = (of: readonly Activity[], entries: Parameters<typeof stateAt>[1], now: number) =>
    overdueIn(of, stateAt(wide, entries, now)).map((one) =>
      [one.kind, 'machine' in one ? one.machine : '', one.start].join(' '),
    );

  test('each machine by itself, all in order of time, whatever the order of the plan', () => {
    const both = [fill(60), testAt(20), circuitAt(10, '2K', 'M2'), fill(40, '2K', 'M2'), circuitAt(30)];
    expect(late(both, [], 61)).toEqual(['circuit M2 10', 'circuit M1 30', 'fill M2 40', 'fill M1 60']);
    expect(late(both, [setUp(60, 'M1')], 61)).toEqual(['circuit M2 10', 'fill M2 40', 'fill M1 60']);
    const other = [setUp(40, 'M2'), noted(45, { kind: 'fill', machine: 'M2' })];
    expect(late(both, other, 61)).toEqual(['circuit M1 30', 'fill M1 60']);
    const over = [setUp(40, 'M2'), ...filled(45, 'M2')];
    expect(late(both, over, 112)).toEqual(['circuit M1 30', 'fill M1 60']);
  });
  test('a fill of another bath is not the one that was due; nor is a bath change a new circuit', () => {
    const two = [fill(40), bathChange(113), fill(123, '4K')];
    const first = [setUp(30, 'M1'), ...filled(40)];
    expect(late(two, first, 130)).toEqual(['bath M1 113', 'fill M1 123']);
    // It filled 2K once more, without the bath change.
    expect(late(two, [...first, noted(115, { kind: 'fill', machine: 'M1' })], 130)).toEqual([
      'bath M1 113',
      'fill M1 123',
    ]);
    expect(late(two, [...first, setUp(124, 'M1', '4K', 'bath')], 130)).toEqual(['fill M1 123']);
    expect(late(two, [...first, setUp(124, 'M1', '4K')], 130)).toEqual(['bath M1 113', 'fill M1 123']);
    expect(late(two, [...first, setUp(124, 'M1', '2K', 'bath')], 130)).toEqual([
      'bath M1 113',
      'fill M1 123',
    ]);
    expect(
      late(two, [...first, setUp(124, 'M1', '4K', 'bath'), noted(125, { kind: 'fill', machine: 'M1' })], 130),
    ).toEqual([]);
  });
  test('a fill stands for one of the plan: the next of its bath is still to be begun', () => {
    // The fill comes first, the new circuit after it.
    const renewed = [fill(40), circuitAt(113), fill(143)];
    const done = [setUp(30, 'M1'), ...filled(40), noted(143, { kind: 'circuit', machine: 'M1', bath: '2K' })];
    expect(late(renewed, done, 150)).toEqual(['fill M1 143']);
    const first = [setUp(30, 'M1'), ...filled(40)];
    expect(late([fill(40), fill(113)], first, 120)).toEqual(['fill M1 113']);
    const second = noted(115, { kind: 'fill', machine: 'M1' });
    expect(late([fill(40), fill(113)], [...first, second], 120)).toEqual([]);
  });
  test('what began before the plan did is none of the plan; what began with its first one is', () => {
    const old = [setUp(30, 'M1'), ...filled(31)];
    expect(late([fill(32), fill(104)], old, 110)).toEqual(['fill M1 32', 'fill M1 104']);
    expect(late([fill(31), fill(104)], old, 110)).toEqual(['fill M1 104']);
  });
});
