import { expect, test } from 'vitest';
import { betterText } from '../../src/reports/better.ts';

const score = (part = {}) => ({
  unmetLitres: 0,
  unmetLitreHours: 0,
  reserveShort: 0,
  handsOnMinutes: 600,
  expiredBags: 0,
  ...part,
});

test('what a better plan would change, worst first, and never only what it gains', () => {
  expect(betterText(12, score(), score({ handsOnMinutes: 560 }))).toBe('12 tasks move, 40 min less work');
  expect(betterText(1, score({ reserveShort: 2 }), score())).toBe('1 task moves, 2 more bags in reserve');
  const short = { unmetLitres: 65, unmetLitreHours: 400 };
  expect(betterText(3, score(short), score({ handsOnMinutes: 630 }))).toBe(
    '3 tasks move, 65 L less unmet, 30 min more work',
  );
  expect(betterText(3, score(short), score({ ...short, unmetLitreHours: 300 }))).toBe(
    '3 tasks move, what is short comes later',
  );
});
