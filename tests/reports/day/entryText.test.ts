import { expect, test } from 'vitest';
import { startAt } from '../../../src/record/from.ts';
import { entryText } from '../../../src/reports/day/entryText.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { noted } from '../../record/book.ts';
import { tinyWorld } from '../../world.ts';

// One machine, 8 bags of 6.5 L at 800 mL/min: 65 to 75 min (common practice, no source).
const before = [
  noted(0, { kind: 'test', water: 'RO', result: 'pass' }),
  noted(30, { kind: 'circuit', machine: 'M1', bath: '2K' }),
  noted(50, { kind: 'fill', machine: 'M1' }),
];
const offAt = (minute: number, fields: { good: number; rejected?: { reason: string; bags: number }[] }) => {
  const off = noted(minute, { kind: 'off', machine: 'M1', ...fields });
  const { state } = startAt(tinyWorld(), [...before, off], minute);
  return entryText(off.entry, compile(tinyWorld()), state.lots);
};

test('bags that came off in time are called good', () => {
  expect(offAt(116, { good: 8 })).toBe('M1: 8 good bags off');
  expect(offAt(116, { good: 7, rejected: [{ reason: 'leak', bags: 1 }] })).toBe(
    'M1: 7 good bags off, 1 rejected (leak)',
  );
});

test('bags that came off overfull are on hold, and are never called good', () => {
  expect(offAt(140, { good: 8 })).toBe('M1: 8 bags off, on hold');
  expect(offAt(140, { good: 7, rejected: [{ reason: 'leak', bags: 1 }] })).toBe(
    'M1: 7 bags off, on hold, 1 rejected (leak)',
  );
});
