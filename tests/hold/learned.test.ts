import { expect, test } from 'vitest';
import { ENOUGH, learnedFrom, withLearned } from '../../src/hold/learned.ts';
import { ASSUMED } from '../../src/hold/variation.ts';
import { startAt } from '../../src/record/from.ts';
import { noted } from '../record/book.ts';
import { tinyWorld } from '../world.ts';

// 8 bags of 6.5 L at 800 mL/min take 65 min (common practice, no source).
const LEAST = 65;
/** So many fills, one each 100 min, each ended by an entry so many minutes after its least time, or by none. */
function fills(count: number, late: number | null, kind: 'off' | 'stop' = 'off') {
  return Array.from({ length: count }, (_, n) => [
    noted(100 * n, { kind: 'fill', machine: 'M1' }),
    ...(late === null
      ? []
      : [noted(100 * n + LEAST + late, { kind, machine: 'M1', ...(kind === 'off' && { good: 8 }) })]),
  ]).flat();
}
const setUp = noted(-10, { kind: 'circuit', machine: 'M1', bath: '2K' });
const learned = (entries: Parameters<typeof startAt>[1], now = 4319) => {
  const { problem, state } = startAt({ ...tinyWorld(), days: 3 }, [setUp, ...entries], now);
  return learnedFrom({ machines: problem.machines, now }, state);
};

test('bags that came off late teach how late they come', () => {
  expect(learned(fills(5, 3)).off).toEqual({ cases: 5, minutes: 3 });
});
test('a fill whose end nobody noted, or that was stopped, teaches nothing of it', () => {
  expect(learned(fills(6, null)).off).toEqual({ cases: 0, minutes: 0 });
  expect(learned(fills(6, -40, 'stop')).off).toEqual({ cases: 0, minutes: 0 });
});
test('with fewer cases than are enough, what is typed stays', () => {
  expect(withLearned(ASSUMED, learned(fills(ENOUGH - 1, 3)))).toEqual(ASSUMED);
  expect(withLearned(ASSUMED, learned(fills(ENOUGH, 3)))).toMatchObject({ slower: 0, swapLate: 6 });
});
