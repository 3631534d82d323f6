import { expect, test } from 'vitest';
import { playDays } from './days.ts';

test.each(Array.from({ length: 20 }, (_, n) => 1000 + 50 * n))(
  'fifty random days from seed %i: every promise holds whenever it is planned on',
  async (from) => {
    expect(await playDays(from, 50)).toBeGreaterThan(150);
  },
  600_000,
);
