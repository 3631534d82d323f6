import { expect, test } from 'vitest';
import { recallActs } from '../../../src/reports/day/recallText.ts';

const row = {
  lot: 'P',
  bath: '2K',
  bags: 4,
  round: 0,
  at: 0,
  hanging: 1,
  waiting: 2,
  beds: ['bed-1'],
  replace: 2,
};

test('what hangs comes first, then what waits, then what takes its place', () => {
  expect(recallActs({ ...row, bed: 'bed-1' })).toEqual([
    'TAKE DOWN 1 bag that may hang',
    'bring back 2 bags not hung yet',
    'carry 2 of 2K in their place',
  ]);
});
test('where no bed is noted all beds are named at which one may hang', () => {
  expect(recallActs({ ...row, beds: ['bed-1', 'bed-2'] })[0]).toBe(
    'TAKE DOWN 1 bag that may hang at bed-1 or bed-2',
  );
});
test('what is used up by the prescription is to be looked for all the same', () => {
  expect(recallActs({ ...row, hanging: 0, waiting: 0, replace: 0 })).toEqual([
    'used up by the prescription: look all the same',
  ]);
});
