import { expect, test } from 'vitest';
import { saidValue } from '../../src/views/capacity/Assumptions.tsx';

test('what a forecast assumes is said without names of fields', () => {
  expect(saidValue({ first: 2, doublingDays: 7, peakDay: 21, halvingDays: 10 })).toBe(
    'first 2, doubles in days 7, peak on day 21, halves in days 10',
  );
  expect(saidValue({ law: 'normal', mean: 82, sd: 18, min: 40, max: 180 })).toBe(
    'normal, mean 82, SD 18, at least 40, at most 180',
  );
  expect(saidValue({ law: 'fixed', value: 25 })).toBe('fixed, 25');
  expect(saidValue([{ fromDay: 2, share: { '2K': 0.2, '4K': 0.8 } }])).toBe(
    'from day 2, share 2K 0.2, 4K 0.8',
  );
  expect(saidValue({ daysBetween: 30, hoursToRepair: 12 })).toBe('days between 30, hours to repair 12');
});
