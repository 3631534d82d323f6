import { describe, expect, it, test } from 'vitest';
import type { Plan, Score } from '../../src/plan/plan.ts';
import { goodEnough, isBest } from '../../src/reports/enough.ts';
import { enoughText, failedText } from '../../src/words/verdict.ts';

const zero: Score = {
  unmetLitres: 0,
  unmetLitreHours: 0,
  reserveShort: 0,
  handsOnMinutes: 104,
  expiredBags: 0,
};
/** A plan for 1,000 L, with what is proven of it. */
const planned = (score: Partial<Score>, bound: Plan['bound']): Pick<Plan, 'score' | 'bound' | 'needs'> => ({
  score: { ...zero, ...score },
  bound,
  needs: [{ bath: '2K', round: 1, at: 0, bags: 100, litres: 1000, unmetLitres: score.unmetLitres ?? 0 }],
});

describe('people can act on a plan', () => {
  // Where the lines are drawn is our own choice: 1 % of the need, 50 % of the work.
  it.each([
    [
      'all is served and 4 % of work may be saved',
      {},
      { unmetLitres: 0, handsOnMinutes: 100 },
      { percent: 4, litres: 0 },
    ],
    [
      'no plan serves more',
      { unmetLitres: 300 },
      { unmetLitres: 300, handsOnMinutes: 104 },
      { percent: 0, litres: 0 },
    ],
    [
      'a hundredth of the need may still be served',
      { unmetLitres: 310 },
      { unmetLitres: 300, handsOnMinutes: 104 },
      { percent: 0, litres: 10 },
    ],
    [
      'half as much work would do',
      { handsOnMinutes: 150 },
      { unmetLitres: 0, handsOnMinutes: 100 },
      { percent: 50, litres: 0 },
    ],
  ])('%s', (_, score, bound, enough) => {
    expect(goodEnough(planned(score, bound))).toEqual({
      percent: expect.closeTo(enough.percent),
      litres: expect.closeTo(enough.litres),
    });
  });
  it.each([
    [
      'more than a hundredth of the need may still be served',
      { unmetLitres: 311 },
      { unmetLitres: 300, handsOnMinutes: 104 },
    ],
    [
      'less than two thirds of the work may do',
      { handsOnMinutes: 151 },
      { unmetLitres: 0, handsOnMinutes: 100 },
    ],
    ['nobody knows what could be served', {}, { unmetLitres: null, handsOnMinutes: 100 }],
    ['nobody knows how much work it takes', {}, { unmetLitres: 0, handsOnMinutes: null }],
  ])('not where %s', (_, score, bound) => {
    expect(goodEnough(planned(score, bound))).toBeNull();
  });
});

describe('no plan is better', () => {
  const bound = { unmetLitres: 0, handsOnMinutes: 104 };
  test('where all is served, kept and used, with the least work that is proven', () => {
    expect(isBest(planned({}, bound))).toBe(true);
  });
  it.each([
    ['work', { handsOnMinutes: 105 }],
    ['stock', { reserveShort: 0.5 }],
    ['bags that expire', { expiredBags: 1 }],
    ['litres', { unmetLitres: 6.5, unmetLitreHours: 30 }],
  ])('not where there may be better: %s', (_, score) => {
    expect(isBest(planned(score, bound))).toBe(false);
  });
  test('nor where nothing is proven', () => {
    expect(isBest(planned({}, { unmetLitres: 0, handsOnMinutes: null }))).toBe(false);
  });
});

test('it is said in a sentence what may still be gained', () => {
  expect(enoughText({ percent: 4.04, litres: 0 })).toBe(
    'Good enough to act on: at most 4 % more work than the best possible. Still looking.',
  );
  expect(enoughText({ percent: 0.01, litres: 13 })).toBe(
    'Good enough to act on: no plan needs less work. A better plan may cover 13 L more. Still looking.',
  );
});

test('what is short of the reserve is said before the work', () => {
  expect(enoughText({ percent: 4, litres: 0, reserveShort: 4.2 })).toMatch(/^5 bags short of the reserve\./);
  expect(enoughText({ percent: 4, litres: 0, reserveShort: 5 })).toBe(
    '5 bags short of the reserve. Good enough to act on: at most 4 % more work than the best possible. Still looking.',
  );
});

test('where bags are missing that no plan has, it says so first: acting on the plan does not clear the need', () => {
  expect(enoughText({ percent: 4, litres: 0, unmetLitres: 310 })).toBe(
    '310 L unmet. Good enough to act on: at most 4 % more work than the best possible. Still looking.',
  );
});

test('where planning fails, a plan is spoken of only where there is one', () => {
  const why = 'too few technicians are free. Expected: more technicians.';
  expect(failedText(why, true)).toBe(`Planning failed: ${why} There is no plan.`);
  expect(failedText('no memory', false)).toBe(
    'Planning failed: no memory. The plan on screen is the previous one.',
  );
});
