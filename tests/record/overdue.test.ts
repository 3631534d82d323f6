import { expect, test } from 'vitest';
import { overdueIn } from '../../src/record/overdue.ts';
import { at, fill, swap, tinyWorld } from '../world.ts';
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
