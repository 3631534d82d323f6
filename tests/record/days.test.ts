import { expect, test } from 'vitest';
import { playDay } from './days.ts';

// Each hundred days apart, so that a failure names its seed.
test.each(Array.from({ length: 20 }, (_, n) => 10 * n))(
  'ten random days from seed %i: every promise holds whenever it is planned on',
  async (from) => {
    let plans = 0;
    for (let seed = from; seed < from + 10; seed++)
      plans += await playDay(seed).catch((error: unknown) => {
        throw new Error(`day ${seed}`, { cause: error });
      });
    expect(plans).toBeGreaterThan(30);
  },
);
