import { describe, expect, it } from 'vitest';
import { type Activity, NOTHING_PROVEN, type Plan, type Score } from '../../../src/plan/plan.ts';
import { contest, doneOfAll, type Own, roundsFor } from '../../../src/planner/plan.ts';
import { gainOf, pairOf, ROUNDS, worthAnother } from '../../../src/planner/search/rivals.ts';
import { triesFor } from '../../../src/planner/search/stages.ts';

const fill = (start: number): Activity => ({
  kind: 'fill',
  machine: 'M1',
  bath: '2K',
  start,
  end: start + 65,
});
function made(handsOnMinutes: number, rest: Partial<Score> = {}, fills = 1, remarks: string[] = []): Plan {
  return {
    activities: Array.from({ length: fills }, (_, n) => fill(n * 100 + handsOnMinutes)),
    needs: [{ bath: '2K', round: 1, at: 0, bags: 100, litres: 1000, unmetLitres: 0 }],
    score: { unmetLitres: 0, unmetLitreHours: 0, reserveShort: 0, handsOnMinutes, expiredBags: 0, ...rest },
    bound: NOTHING_PROVEN,
    remarks,
    seconds: 1,
  };
}

describe('so many pairs of searches are worth their time', () => {
  const short = { unmetLitres: 6.5 };
  it.each([
    ['in a week, however close the first two end', made(2000, {}, 100), made(2000, {}, 100), ROUNDS],
    ['in a week as large as there is time for', made(2000, {}, 600), made(2000, {}, 600), ROUNDS],
    ['in a larger one', made(2000, {}, 601), made(4000), 1],
    ['in a larger one that leaves a need unmet', made(2000, short, 601), made(4000, short), 3],
    ['in a larger one that only one search leaves unmet', made(2000, short, 601), made(4000), 1],
    ['where there is little to find and two find the same', made(60, {}, 19), made(60, {}, 19), 1],
    ['there where a need is unmet', made(60, short, 19), made(60, short, 19), 3],
    ['there where only one leaves it unmet', made(60, short, 19), made(60, {}, 19), ROUNDS],
    ['there where they do not', made(60, {}, 19), made(61, {}, 19), ROUNDS],
  ])('%s', (_, a, b, rounds) => {
    expect(roundsFor(a, b)).toBe(rounds);
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

/** Runs a contest whose searches find these, pair by pair; what each was told. */
async function run(pairs: readonly (readonly [Plan, Plan | string])[], late = false) {
  const told: (readonly [Own, Own])[] = [];
  const best = await contest(
    7,
    async (pair, round) => {
      told.push(pair);
      return pairs[round]!;
    },
    { late: () => late },
  );
  return { best, told };
}

describe('a contest', () => {
  it('is over where no more is worth it', async () => {
    const { best, told } = await run([[made(2000, {}, 601), made(1990)]]);
    expect([best.score.handsOnMinutes, told.length]).toEqual([1990, 1]);
  });

  it('goes on from the best of all before, until two pairs in a row find nothing better', async () => {
    const { best, told } = await run([
      [made(2400), made(2000)],
      [made(2050), made(1950)],
      [made(1950), made(1960)],
      [made(1960), made(1970)],
      [made(1900), made(1900)],
    ]);
    expect(best.score.handsOnMinutes).toBe(1950);
    expect(told.map((pair) => pair.map(({ from }) => from?.[0]?.start))).toEqual([
      [undefined, undefined],
      ...[2000, 1950, 1950].map((start) => [start, start]),
    ]);
  });

  it('begins anew once more where the first pair leaves a need unmet, and only then', async () => {
    const short = (litres: number, start: number) => made(start, { unmetLitres: litres }, 100);
    const pair = (litres: number, start: number) => [short(litres, start), short(litres, start + 1)] as const;
    const { best, told } = await run([pair(60, 1), pair(50, 2), ...[3, 4, 5, 6].map((n) => pair(50, n))]);
    expect(best.score).toMatchObject({ unmetLitres: 50, handsOnMinutes: 2 });
    expect(told.map(([first]) => first.from?.[0]?.start)).toEqual([undefined, undefined, 2, 2]);
  });

  it('begins each pair anew where a few fills leave a need unmet, though none finds more', async () => {
    const pair = [made(1, { unmetLitres: 6 }, 4), made(1, { unmetLitres: 6 }, 4)] as const;
    const { told } = await run(Array.from({ length: 6 }, () => pair));
    expect(told.map(([first]) => first.from)).toEqual([undefined, undefined, undefined]);
  });

  it('ends after five pairs, however much they find', async () => {
    const { best, told } = await run(
      Array.from({ length: 20 }, (_, n) => [made(2000 - 100 * n), made(2001)] as const),
    );
    expect([best.score.handsOnMinutes, told.length]).toEqual([1600, ROUNDS]);
    expect(ROUNDS).toBe(5);
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
      const all = Array.from({ length: ROUNDS }, (_, round) => pairOf(seed, round)).flat();
      expect(all[0]!.seed).toBe(seed);
      expect(new Set(all.map((own) => own.seed)).size).toBe(2 * ROUNDS);
      expect(all.every((own) => Number.isInteger(own.seed) && own.seed >= 0 && own.seed < 2 ** 31)).toBe(
        true,
      );
      expect(all.map(({ cool }) => cool)).toEqual(all.map((_, n) => n % 2 === 1));
    }
  });

  it('counts what is done of all pairs, of which the first takes twice as long as another', () => {
    const shares: readonly (readonly [round: number, done: number, rounds: number])[] = [
      [0, 0, 8],
      [0, 0.5, 8],
      [0, 1, 8],
      [1, 0, 8],
      [1, 1, 8],
      [7, 1, 8],
      [0, 0.5, 1],
      [0, 1, 1],
      [1, 0.5, 3],
      [2, 1, 3],
    ];
    expect(shares.map((share) => doneOfAll(...share))).toEqual(
      [0, 1 / 9, 2 / 9, 2 / 9, 3 / 9, 1, 0.5, 1, 2.5 / 4, 1].map((part) => expect.closeTo(part)),
    );
  });

  it('tells how many pairs there may be once it is known', async () => {
    const told: unknown[] = [];
    const short = { unmetLitres: 52 };
    await contest(7, async (_, round, rounds) => {
      told.push([round, rounds]);
      return [made(2000, short, 601), made(2000, short, 601)];
    });
    expect(told).toEqual([
      [0, null],
      [1, 3],
      [2, 3],
    ]);
  });
});
