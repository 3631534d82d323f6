import jstat from 'jstat';
import { describe, expect, test } from 'vitest';
import { bandOf, meanError } from '../../src/capacity/answers/bands.ts';
import { drawInto, emptyDraw, groundOf } from '../../src/capacity/draws/draw.ts';
import type { Forecast, Law } from '../../src/scenario/schema.ts';
import { emptySite } from './worlds.ts';

/** Census at the end of chosen days, one value a draw. */
function census(forecast: Forecast, days: readonly number[], draws: number): Float64Array[] {
  const ground = groundOf(emptySite({ ...forecast, days: Math.max(...days) + 1 }));
  const draw = emptyDraw(ground, 0);
  const tables = days.map(() => new Float64Array(draws));
  for (let index = 0; index < draws; index++) {
    drawInto(ground, 1, index, draw);
    for (let n = 0; n < days.length; n++) tables[n]![index] = draw.census[days[n]!]!;
  }
  return tables;
}

const mean = (values: Float64Array) => values.reduce((a, b) => a + b, 0) / values.length;
/** Within four standard errors of the truth, and a little for rates that are typed day by day. */
function near(values: Float64Array, truth: number, grain = 0) {
  expect(Math.abs(mean(values) - truth)).toBeLessThan(4 * meanError(values) + grain);
}

const STAYS: readonly Law[] = [
  { law: 'exponential', mean: 9 },
  { law: 'fixed', value: 9 },
  { law: 'lognormal', mean: 9, sd: 7 },
  { law: 'gamma', mean: 9, sd: 7 },
  { law: 'weibull', mean: 9, sd: 4 },
];

describe('constant arrivals: the census is Poisson with mean arrivals x mean stay, whatever the law (Palm 1943; from memory)', () => {
  test.each(STAYS)('$law', (stayDays) => {
    const draws = 6000;
    const [values] = census({ startsPerDay: 2, stayDays }, [149], draws);
    near(values!, 18);
    // Variance / mean of a Poisson number is 1.
    const variance = values!.reduce((sum, value) => sum + (value - mean(values!)) ** 2, 0) / draws;
    expect(Math.abs(variance / 18 - 1)).toBeLessThan(4 * Math.sqrt(2 / draws) + 0.01);
    // P(N <= 25) = 0.95539, P(N <= 29) = 0.99406: quantiles 25 and 29, here against jstat as well.
    expect(jstat.jStat.poisson.cdf(25, 18)).toBeCloseTo(0.95539, 5);
    for (const count of [12, 18, 25, 29]) {
      const truth = jstat.jStat.poisson.cdf(count, 18);
      const share = values!.filter((value) => value <= count).length / draws;
      expect(Math.abs(share - truth)).toBeLessThan(4 * Math.sqrt((truth * (1 - truth)) / draws));
    }
    expect(Math.abs(bandOf(values!).p95 - 25)).toBeLessThanOrEqual(1);
  });
});

describe('arrivals that change (Eick, Massey, Whitt. Oper Res 1993;41:731-742 and Manage Sci 1993;39:241-252)', () => {
  // Rate 2 (1 + 0.5 sin(2 pi t / 28)) a day, as the mean of each day.
  const w = (2 * Math.PI) / 28;
  const sinus = Array.from(
    { length: 200 },
    (_, day) => 2 + (Math.cos(w * day) - Math.cos(w * (day + 1))) / w,
  );
  const days = [139, 146];

  test('sinusoid, exponential stay of 9 days: 14.42111 at the zero of the rate, 19.77208 a quarter later', () => {
    const [zero, quarter] = census(
      { startsPerDay: sinus, stayDays: { law: 'exponential', mean: 9 } },
      days,
      4000,
    );
    near(zero!, 14.42111, 0.02);
    near(quarter!, 19.77208, 0.02);
  });

  test('sinusoid, fixed stay of 9 days: amplitude 7.54658, lag 4.5 days', () => {
    const [zero, quarter] = census({ startsPerDay: sinus, stayDays: { law: 'fixed', value: 9 } }, days, 4000);
    near(zero!, 18 + 7.54658 * Math.sin(w * -4.5), 0.02);
    near(quarter!, 18 + 7.54658 * Math.sin(w * (7 - 4.5)), 0.02);
  });

  test('a rate that rises by a line, 2 + 0.1 t: E[S] times the rate E[S_e] ago, 9 days exponential, 4.5 days fixed', () => {
    const line = Array.from({ length: 200 }, (_, day) => 2 + 0.1 * (day + 0.5));
    const [exponential] = census(
      { startsPerDay: line, stayDays: { law: 'exponential', mean: 9 } },
      [149],
      3000,
    );
    near(exponential!, 9 * (2 + 0.1 * (150 - 9)), 0.01);
    const [fixed] = census({ startsPerDay: line, stayDays: { law: 'fixed', value: 9 } }, [149], 3000);
    near(fixed!, 9 * (2 + 0.1 * (150 - 4.5)), 0.01);
  });

  test('doubling every 7 days: 9.51782 for an exponential, 11.91327 for a fixed stay of 9 days while 2 come a day, not 18', () => {
    // Rate 2 on day 84, after twelve doublings: the run-up is long enough to count as an infinite past.
    const growth = { first: 2 / 2 ** 12, doublingDays: 7 };
    const [exponential] = census(
      { startsPerDay: growth, stayDays: { law: 'exponential', mean: 9 } },
      [83],
      12_000,
    );
    near(exponential!, 9.51782);
    const [fixed] = census({ startsPerDay: growth, stayDays: { law: 'fixed', value: 9 } }, [83], 12_000);
    near(fixed!, 11.91327);
  });

  test('from empty, 2 a day, after 7 days: 9.73034 for an exponential, 14 for a fixed stay of 9 days', () => {
    const [exponential] = census({ startsPerDay: 2, stayDays: { law: 'exponential', mean: 9 } }, [6], 12_000);
    near(exponential!, 9.73034);
    const [fixed] = census({ startsPerDay: 2, stayDays: { law: 'fixed', value: 9 } }, [6], 12_000);
    near(fixed!, 14);
  });
});

describe("published crisis figures, by Little's law", () => {
  test('4 of 100 admissions a day for 12 days: 48; worst case 6.9 for 9 days: 62.1 (inputs: Reddy, ASN 2020, PO0662; Reddy et al. AJKD 2020;76:696-709, Fig. 4)', () => {
    const [base] = census({ startsPerDay: 4, stayDays: { law: 'lognormal', mean: 12, sd: 8 } }, [119], 3000);
    near(base!, 48, 0.05);
    const [worst] = census({ startsPerDay: 6.9, stayDays: { law: 'gamma', mean: 9, sd: 6 } }, [99], 3000);
    near(worst!, 62.1, 0.05);
  });

  test('331 patients in 102 days (PMC7647901), 20 days each (assumed): 64.9', () => {
    const [values] = census(
      { startsPerDay: 331 / 102, stayDays: { law: 'exponential', mean: 20 } },
      [219],
      3000,
    );
    near(values!, 64.9, 0.1);
  });
});

test('the error of a mean shrinks as 1 / sqrt(draws): a quarter of it takes sixteen times the draws', () => {
  const [values] = census({ startsPerDay: 2, stayDays: { law: 'exponential', mean: 9 } }, [60], 16_000);
  // Spread of the means of 400 groups of 40, and of 25 groups of 640.
  const spread = (size: number) => {
    const means = Float64Array.from({ length: 16_000 / size }, (_, n) =>
      mean(values!.subarray(n * size, (n + 1) * size)),
    );
    return meanError(means) * Math.sqrt(means.length);
  };
  expect(spread(40)).toBeCloseTo(Math.sqrt(18 / 40), 1);
  // The spread of 25 means is itself known to within 4 / sqrt(2 x 24).
  expect(Math.abs(spread(640) / spread(40) - 0.25)).toBeLessThan(0.25 * (4 / Math.sqrt(48)));
  expect(meanError(values!)).toBeCloseTo(Math.sqrt(18 / 16_000), 2);
});
