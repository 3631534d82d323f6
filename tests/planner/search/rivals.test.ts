import { describe, expect, it } from 'vitest';
import { type Activity, NOTHING_PROVEN, type Score } from '../../../src/plan/plan.ts';
import type { Made } from '../../../src/planner/options.ts';
import { type Course, contest, courseFor, doneOfAll, type Own } from '../../../src/planner/plan.ts';
import { gainOf, OF_WEEK, pairOf, worthAnother } from '../../../src/planner/search/rivals.ts';
import { triesFor } from '../../../src/planner/search/stages.ts';

const fill = (start: number): Activity => ({
  kind: 'fill',
  machine: 'M1',
  bath: '2K',
  start,
  end: start + 65,
});
function made(handsOnMinutes: number, rest: Partial<Score> = {}, fills = 1, remarks: string[] = []): Made {
  return {
    activities: Array.from({ length: fills }, (_, n) => fill(n * 100 + handsOnMinutes)),
    needs: [{ bath: '2K', round: 1, at: 0, bags: 100, litres: 1000, unmetLitres: 0 }],
    score: { unmetLitres: 0, unmetLitreHours: 0, reserveShort: 0, handsOnMinutes, expiredBags: 0, ...rest },
    bound: NOTHING_PROVEN,
    remarks,
    seconds: 1,
  };
}

describe('so many pairs of searches are worth their time, and so many of them begin anew', () => {
  const short = { unmetLitres: 6.5 };
  it.each([
    ['in a week, however close the first two end', made(2000, {}, 100), made(2000, {}, 100), 3, 7],
    ['in a week as large as there is time for', made(2000, {}, 600), made(2000, {}, 600), 3, 7],
    ['in a larger one', made(2000, {}, 601), made(4000), 1, 1],
    ['in a larger one that leaves a need unmet', made(2000, short, 601), made(4000, short), 2, 3],
    ['in a larger one that only one search leaves unmet', made(2000, short, 601), made(4000), 1, 1],
    ['where there is little to find and two find the same', made(60, {}, 19), made(60, {}, 19), 1, 1],
    ['there where a need is unmet', made(60, short, 19), made(60, short, 19), 3, 3],
    ['there where only one leaves it unmet', made(60, short, 19), made(60, {}, 19), 3, 7],
    ['there where they do not', made(60, {}, 19), made(61, {}, 19), 3, 7],
  ])('%s', (_, a, b, anew, rounds) => {
    expect(courseFor(a, b)).toEqual({ anew, rounds });
  });
});

describe('another pair of searches may be expected to be worth its time', () => {
  // What is next to nothing is our own choice: half a percent of the work in two pairs.
  const { POSITIVE_INFINITY: served } = Number;
  it.each([
    ['before anything is known', [], true],
    ['after one that found nothing', [0], true],
    ['not after two that found nothing', [0, 0], false],
    ['nor after two that saved next to nothing', [0.0024, 0.0024], false],
    ['after two that saved enough together', [0.0026, 0.0026], true],
    ['after one that saved enough and one in vain', [0.01, 0], true],
    ['not when that was longer ago', [0.01, 0, 0], false],
    ['after one that served more', [0, served, 0], true],
  ])('%s', (_, gains, worth) => {
    expect(worthAnother(gains)).toBe(worth);
  });
});

it.each([
  ['more served', { unmetLitres: 60 }, { unmetLitres: 59, handsOnMinutes: 9000 }, Number.POSITIVE_INFINITY],
  ['served sooner', { unmetLitreHours: 60 }, { unmetLitreHours: 59 }, Number.POSITIVE_INFINITY],
  ['more in stock', { reserveShort: 2 }, { reserveShort: 1 }, Number.POSITIVE_INFINITY],
  ['less work', { handsOnMinutes: 2000 }, { handsOnMinutes: 1990 }, 0.005],
  ['fewer bags that expire', { expiredBags: 4 }, { expiredBags: 1 }, 0],
])('a pair gained: %s', (_, before, after, gain) => {
  const base = made(2000).score;
  expect(gainOf({ ...base, ...before }, { ...base, ...before, ...after })).toBe(gain);
});

it.each([
  ['a week', 222, 45_000, 22_500],
  ['a week as large as there is time for', 600, 30_000, 15_000],
  ['a crisis, where one pair has to do', 2162, 16_651, 8326],
  ['a unit of a few fills', 4, 11_250, 5625],
])('tries of a search of %s: anew, and from a plan', (_, fills, anew, on) => {
  expect(triesFor({}, fills)).toBe(anew);
  expect(triesFor({ from: [] }, fills)).toBe(on);
});

/** Runs a contest whose searches find these, pair by pair, the last one again and again; what each was told. */
async function run(pairs: readonly (readonly [Made, Made | string])[], late = false) {
  const told: (readonly [Own, Own])[] = [];
  const best = await contest(
    7,
    async (pair, round) => {
      told.push(pair);
      return pairs[Math.min(round, pairs.length - 1)]!;
    },
    { late: () => late },
  );
  return { best, told };
}
const from = (told: readonly (readonly [Own, Own])[]) =>
  told.map((pair) => pair.map((own) => own.from?.[0]?.start));

describe('a contest', () => {
  const ANEW = [undefined, undefined];
  it('is over where no more is worth it', async () => {
    const { best, told } = await run([[made(2000, {}, 601), made(1990)]]);
    expect([best.score.handsOnMinutes, told.length]).toEqual([1990, 1]);
  });

  it('begins anew three times in a week, then goes on from the best of all, until two pairs in a row gain nothing', async () => {
    const { best, told } = await run([
      [made(2400), made(2300)],
      [made(2050), made(2000)],
      [made(2100), made(2200)],
      [made(1960), made(1950)],
      [made(1950), made(1960)],
      [made(1960), made(1970)],
      [made(1900), made(1900)],
    ]);
    expect(best.score.handsOnMinutes).toBe(1950);
    expect(from(told)).toEqual([ANEW, ANEW, ANEW, [2000, 2000], [1950, 1950], [1950, 1950]]);
  });

  it.each([
    ['the cool one found more', made(2000), true],
    ['the hot one did', made(2500), false],
    ['both found as much', made(2400, {}, 100), false],
  ])('has both searches of a fresh pair as the better of the first: %s', async (_, second, cool) => {
    const { told } = await run([
      [made(2400, {}, 100), second],
      [made(2600), made(2600)],
    ]);
    const manners = told.map((pair) => pair.map((own) => own.cool));
    const both = [false, true];
    expect(manners).toEqual([both, [cool, cool], [cool, cool], both, both]);
  });

  it('hands the lines of the best on with it, and takes none of them into the plan', async () => {
    const lines = [[{ bath: 0, fills: 2, toEnd: false, fresh: true, notBefore: 7 }]];
    const { best, told } = await run([
      [made(2400), { ...made(2000), lines }],
      [made(2500), made(2500)],
    ]);
    expect(told.map(([own]) => own.lines)).toEqual([
      ...Array.from({ length: 3 }, () => ({ of: null })),
      ...Array.from({ length: 2 }, () => ({ of: lines })),
    ]);
    expect(best).toEqual(made(2000));
  });

  it('begins each pair anew where a few fills leave a need unmet, though none finds more', async () => {
    const { told } = await run([[made(1, { unmetLitres: 6 }, 4), made(1, { unmetLitres: 6 }, 4)]]);
    expect(from(told)).toEqual([ANEW, ANEW, ANEW]);
    expect(told.map((pair) => pair.map((own) => own.cool))).toEqual([0, 1, 2].map(() => [false, true]));
  });

  it('begins anew twice in a crisis that leaves a need unmet, and goes on once', async () => {
    const short = { unmetLitres: 52 };
    const { told } = await run([[made(1, short, 601), made(2, short, 601)]]);
    expect(from(told)).toEqual([ANEW, ANEW, [1, 1]]);
  });

  it('ends after seven pairs, however much they find', async () => {
    const { best, told } = await run(
      Array.from({ length: 20 }, (_, n) => [made(2000 - 100 * n), made(2001)] as const),
    );
    expect([best.score.handsOnMinutes, told.length]).toEqual([1400, 7]);
  });

  it('ends where no plan can be better, without a remark', async () => {
    let pairs = 0;
    const best = await contest(
      7,
      async () => {
        pairs += 1;
        return [made(2000 - pairs, {}, 100), made(2001, {}, 100)];
      },
      { best: () => pairs === 2 },
    );
    expect([pairs, best.score.handsOnMinutes, best.remarks]).toEqual([2, 1998, []]);
  });

  it('ends with a remark where there is no second or no time', async () => {
    const failed = await run([[made(2000), 'out of memory']]);
    expect(failed.best.remarks).toEqual(['The second search counts for nothing: out of memory.']);
    const late = await run([[made(2400), made(2000)]], true);
    expect(late.best.score.handsOnMinutes).toBe(2000);
    expect(late.best.remarks).toEqual(['The clock left no time for another pair of searches.']);
  });

  it('keeps the remark of a search whose plan is not taken: its clock decided what was', async () => {
    const { best } = await run([
      [made(2400), made(2000)],
      [made(2100, {}, 1, ['The clock ended the search.']), 'out of time'],
    ]);
    expect(best.score.handsOnMinutes).toBe(2000);
    expect(best.remarks).toEqual([
      'The clock ended the search.',
      'The second search counts for nothing: out of time.',
    ]);
  });

  it('has other seeds in each search, whole and below 2^31', () => {
    for (const seed of [0, 1, 7, 2 ** 31 - 1]) {
      const all = Array.from({ length: OF_WEEK.rounds }, (_, round) => pairOf(seed, round)).flat();
      expect(all[0]!.seed).toBe(seed);
      expect(new Set(all.map((own) => own.seed)).size).toBe(2 * OF_WEEK.rounds);
      expect(all.every((own) => Number.isInteger(own.seed) && own.seed >= 0 && own.seed < 2 ** 31)).toBe(
        true,
      );
      expect(all.map(({ cool }) => cool)).toEqual(all.map((_, n) => n % 2 === 1));
    }
  });

  it('counts what is done of all pairs, of which one that begins anew takes twice as long as another', () => {
    const week: Course = { anew: 3, rounds: 7 };
    const one: Course = { anew: 1, rounds: 1 };
    const shares: readonly (readonly [round: number, done: number, course: Course, of: number])[] = [
      [0, 0, week, 0],
      [0, 0.5, week, 1 / 10],
      [0, 1, week, 2 / 10],
      [1, 0, week, 2 / 10],
      [2, 1, week, 6 / 10],
      [3, 0, week, 6 / 10],
      [3, 0.5, week, 6.5 / 10],
      [6, 1, week, 1],
      [0, 0.5, one, 0.5],
      [0, 1, one, 1],
      [2, 0.5, { anew: 2, rounds: 3 }, 4.5 / 5],
    ];
    for (const [round, done, course, of] of shares)
      expect(doneOfAll(round, done, course)).toBeCloseTo(of, 12);
  });

  it('tells how many pairs there may be once it is known', async () => {
    const told: unknown[] = [];
    const short = { unmetLitres: 52 };
    await contest(7, async (_, round, course) => {
      told.push([round, course?.rounds ?? null]);
      return [made(2000, short, 601), made(2000, short, 601)];
    });
    expect(told).toEqual([
      [0, null],
      [1, 3],
      [2, 3],
    ]);
  });
});
