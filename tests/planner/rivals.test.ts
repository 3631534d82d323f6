import { describe, expect, it } from 'vitest';
import type { Activity, Plan, Score } from '../../src/plan/plan.ts';
import { contest, farApart, type Own, pairOf, ROUNDS } from '../../src/planner/rivals.ts';

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
    score: { unmetLitres: 0, reserveShort: 0, handsOnMinutes, expiredBags: 0, ...rest },
    bound: { unmetLitres: 0, handsOnMinutes: 0 },
    remarks,
    seconds: 1,
  };
}

describe('two searches are far apart', () => {
  it.each([
    ['1 in 1000 of the minutes', made(20_000), made(20_020), false],
    ['more than that', made(20_000), made(20_021), true],
    ['a test of a small plan', made(60), made(70), false],
    ['1 in 1000 of the need', made(2000), made(2000, { unmetLitres: 1 }), false],
    ['more than that', made(2000), made(2000, { unmetLitres: 1.5 }), true],
    ['a bag of the reserve', made(2000), made(2000, { reserveShort: 1 }), true],
    ['a minute, where another pair is quick', made(800, {}, 40), made(801, {}, 40), true],
    ['nothing, where another pair is quick', made(800, {}, 40), made(800, {}, 40), false],
    ['much, but too large for another pair', made(2000, {}, 601), made(4000), false],
  ])('by %s: %#', (_, a, b, apart) => {
    expect(farApart(a, b)).toBe(apart);
  });
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
    () => late,
  );
  return { best, told };
}

describe('a contest', () => {
  it('is over when the first two agree', async () => {
    const { best, told } = await run([[made(2000), made(1990)]]);
    expect([best.score.handsOnMinutes, told.length]).toEqual([1990, 1]);
  });

  it('goes on while they do not; after two pairs from the best so far', async () => {
    const { best, told } = await run([
      [made(2400), made(2000)],
      [made(2300), made(2100)],
      [made(2050), made(1950)],
      [made(1940), made(1900)],
    ]);
    expect(best.score.handsOnMinutes).toBe(1900);
    expect(told).toHaveLength(ROUNDS);
    expect(told.map((pair) => pair.map(({ from }) => from?.[0]?.start))).toEqual([
      [undefined, undefined],
      [undefined, undefined],
      [2000, 2000],
      [1950, 1950],
    ]);
  });

  it('keeps the best of an earlier pair', async () => {
    const { best, told } = await run([
      [made(2400), made(2000)],
      [made(2100), made(2101)],
    ]);
    expect([best.score.handsOnMinutes, told.length]).toEqual([2000, 2]);
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
      [made(2100, {}, 1, ['The clock ended the search.']), made(2101)],
    ]);
    expect(best.score.handsOnMinutes).toBe(2000);
    expect(best.remarks).toEqual(['The clock ended the search.']);
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
});
