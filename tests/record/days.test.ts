import { expect, test } from 'vitest';
import { playDays } from './days.ts';

// Ten days at a time, so that a failure names its seed; the slow test lives a thousand.
test.each(Array.from({ length: 6 }, (_, n) => 10 * n))(
  'ten random days from seed %i: every promise holds whenever it is planned on',
  async (from) => {
    expect(await playDays(from, 10)).toBeGreaterThan(30);
  },
);
