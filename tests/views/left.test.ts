import { expect, test } from 'vitest';
import { leftText, secondsLeft } from '../../src/views/panels/useLeft.ts';

test('time left follows from the share that is done and the time it took', () => {
  expect(secondsLeft(0.25, 10_000)).toBe(30);
  expect(secondsLeft(0.5, 10_000)).toBe(10);
  expect(secondsLeft(0.04, 1_000)).toBeNull();
  expect(secondsLeft(1, 1_000)).toBeNull();
});
test('in words that do not flicker, and nothing where nothing is known', () => {
  expect([null, 2, 31, 54, 56, 130].map(leftText)).toEqual([
    '',
    'a few seconds left',
    'about 35 s left',
    'about 55 s left',
    'about 1 min left',
    'about 2 min left',
  ]);
});
