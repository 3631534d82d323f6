import { expect, test } from 'vitest';
import { bagsMissing, missingText } from '../../src/words/numbers.ts';

test('what is missing is told in whole bags, a part of a bag as one, with the exact liters beside them', () => {
  // 7.5 bags of 6.5 L: eight bags must come, or a bed hangs half a one.
  expect(missingText(48.75, 6.5)).toBe('8 bags (48.8 L)');
  expect(missingText(6.5, 6.5)).toBe('1 bag (6.5 L)');
  expect(missingText(0.1, 6.5)).toBe('1 bag (0.1 L)');
  expect([0, -3, 3 * 0.1, 13].map((litres) => bagsMissing(litres, 0.1))).toEqual([0, 0, 3, 130]);
});
