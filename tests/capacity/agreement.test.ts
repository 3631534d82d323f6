import { describe, expect, test } from 'vitest';
import {
  agreementOf,
  agreementRows,
  type Compared,
  comparisons,
} from '../../src/capacity/answers/agreement.ts';
import { runDraws } from '../../src/capacity/answers/job.ts';
import { agreementLines } from '../../src/reports/capacityWords.ts';
import { wardSite } from './worlds.ts';

const one = (machines: number, fast: number, planned: number): Compared => ({
  draw: 0,
  machines,
  fast,
  planned,
});

test('agreement is about short or not, told by number of machines', () => {
  const compared = [one(4, 9, 3), one(4, 0, 2), one(5, 0, 0), one(5, 1, 0), one(5, 0, 0)];
  expect(agreementOf(compared)).toEqual({ draws: 5, agree: 3, meanBagsDifference: (6 - 2 + 1) / 5 });
  expect(agreementRows(compared)).toEqual([
    { machines: 4, bothShort: 1, bothCover: 0, fastOnly: 0, plannedOnly: 1, meanBagsDifference: 2 },
    { machines: 5, bothShort: 0, bothCover: 2, fastOnly: 1, plannedOnly: 0, meanBagsDifference: 1 / 3 },
  ]);
  expect(agreementRows([])).toEqual([]);
});

describe('agreement in words', () => {
  const lines = (compared: readonly Compared[]) =>
    agreementLines(agreementOf(compared), agreementRows(compared));
  const good = Array.from({ length: 19 }, () => one(4, 0, 0));
  test('from 95 of 100 on it is only told', () => {
    expect(lines([...good, one(4, 0, 2)])).toEqual([
      'The answers come from a fast model. It agrees with full plans on short or not in 19 of 20 runs.',
      'Mean difference: -0.1 bags (model less plan).',
    ]);
  });
  test('below it nobody is to rely on the chances alone, and it says which way they err', () => {
    const [, , warning, ...ways] = lines([...good, one(4, 0, 2), one(4, 0, 3), one(5, 2, 0)]);
    expect(warning).toBe('DO NOT RELY ON THESE CHANCES ALONE: agreement is below 95 of 100.');
    expect(ways).toEqual([
      'Only the full plan was short in 2 of 22 runs: a shortage may be likelier than it says here.',
      'Only the model was short in 1 of 22 runs: a shortage may be less likely than it says here.',
    ]);
  });
});

describe('draws to plan fully', () => {
  const days = (count: number) => Array.from({ length: count }, () => null);
  test('in turn with the machines listed and with just enough', () => {
    const jobs = comparisons({ own: 16, smallest: 19, days: days(30) });
    expect(jobs.map(({ machines }) => machines)).toEqual([16, 19, 16, 19]);
    expect(jobs.map(({ draw }) => draw)).toEqual([0, 1, 2, 3]);
  });
  test('one fewer where those listed are just enough; only those listed without an answer; none without machines', () => {
    const counts = (own: number, smallest: number | null) =>
      comparisons({ own, smallest, days: days(7) }, 3).map(({ machines }) => machines);
    expect(counts(4, 4)).toEqual([4, 3, 4]);
    expect(counts(1, 1)).toEqual([1, 1, 1]);
    expect(counts(4, null)).toEqual([4, 4, 4]);
    expect(counts(0, null)).toEqual([]);
  });
  test('a plan that costs more is made less often, with less search', () => {
    const small = comparisons({ own: 2, smallest: 2, days: days(7) });
    const large = comparisons({ own: 16, smallest: 19, days: days(30) });
    expect(small.length).toBeGreaterThan(large.length);
    expect(small[0]!.tries).toBeGreaterThan(large[0]!.tries);
  });
});

test('judged from some number of machines on, a draw says the same of those', () => {
  const job = { scenario: wardSite(), seed: 3, first: 0, count: 40, most: 5 };
  const all = runDraws(job);
  const some = runDraws({ ...job, least: 3 });
  for (let draw = 0; draw < 40; draw++)
    for (const k of [3, 4, 5]) {
      const at = draw * 5 + k - 1;
      expect(some.short[at]).toBe(all.short[at]);
      expect(some.cause[at]).toBe(all.cause[at]);
    }
});
