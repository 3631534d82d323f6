import jstat from 'jstat';
import { describe, expect, test } from 'vitest';
import { quantile } from '../../src/capacity/answers/bands.ts';
import { chanceOf, poisson } from '../../src/capacity/draws/random.ts';
import { meanOfDay } from '../../src/capacity/forecast/arrivals.ts';
import { distributionOf, lnGamma, residual, weibullShape } from '../../src/capacity/forecast/laws.ts';
import type { Law } from '../../src/scenario/schema.ts';

const { jStat } = jstat;
const N = 40_000;

/** Draws, their mean and sd. */
function sample(law: Law, draws = N) {
  const chance = chanceOf(7, 0, 1);
  const distribution = distributionOf(law);
  const values = Array.from({ length: draws }, () => distribution.draw(chance)).sort((a, b) => a - b);
  const mean = values.reduce((a, b) => a + b, 0) / draws;
  const sd = Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / (draws - 1));
  return { values, mean, sd, distribution };
}

// Reference: jstat 1.9.6, another statistics library, with the parameters worked out by the textbook formulas.
const cv = 7 / 9;
const sigma = Math.sqrt(Math.log(1 + cv * cv));
const mu = Math.log(9) - (sigma * sigma) / 2;
const k = weibullShape(cv);
const scale = 9 / Math.exp(jStat.gammaln(1 + 1 / k));
const LAWS: readonly [Law, (p: number) => number, (x: number) => number][] = [
  [
    { law: 'lognormal', mean: 9, sd: 7 },
    (p) => jStat.lognormal.inv(p, mu, sigma),
    (x) => jStat.lognormal.cdf(x, mu, sigma),
  ],
  [
    { law: 'gamma', mean: 9, sd: 7 },
    (p) => jStat.gamma.inv(p, 81 / 49, 49 / 9),
    (x) => jStat.gamma.cdf(x, 81 / 49, 49 / 9),
  ],
  [
    { law: 'weibull', mean: 9, sd: 7 },
    (p) => jStat.weibull.inv(p, scale, k),
    (x) => jStat.weibull.cdf(x, scale, k),
  ],
  [{ law: 'normal', mean: 9, sd: 7 }, (p) => jStat.normal.inv(p, 9, 7), (x) => jStat.normal.cdf(x, 9, 7)],
  [
    { law: 'exponential', mean: 9 },
    (p) => jStat.exponential.inv(p, 1 / 9),
    (x) => jStat.exponential.cdf(x, 1 / 9),
  ],
];

describe('laws against jstat', () => {
  test.each(LAWS)('$law: quantiles and shares', (law, inverse, cdf) => {
    const distribution = distributionOf(law);
    for (const p of [0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99]) {
      expect(distribution.quantile(p) / inverse(p)).toBeCloseTo(1, 6);
      expect(distribution.cdf(inverse(p))).toBeCloseTo(p, 7);
    }
    for (const x of [0.5, 3, 9, 30]) expect(distribution.cdf(x)).toBeCloseTo(cdf(x), 8);
  });

  test.each(LAWS)('$law: draws have the mean, the sd and the quantiles', (law, inverse) => {
    const { values, mean, sd } = sample(law);
    const wanted = law.sd ?? law.mean!;
    expect(Math.abs(mean - 9)).toBeLessThan((4 * wanted) / Math.sqrt(N));
    // The sd of a heavy tail settles slowly.
    expect(Math.abs(sd / wanted - 1)).toBeLessThan(0.05);
    for (const p of [0.1, 0.5, 0.9]) {
      const density = (inverse(p + 0.005) - inverse(p - 0.005)) / 0.01;
      expect(Math.abs(quantile(values, p) - inverse(p))).toBeLessThan(
        4 * density * Math.sqrt((p * (1 - p)) / N),
      );
    }
  });

  test('ln gamma', () => {
    for (const x of [0.1, 0.5, 1, 1.5, 4.2, 30, 200]) expect(lnGamma(x)).toBeCloseTo(jStat.gammaln(x), 9);
  });

  test('a Weibull law of coefficient 1 is exponential: shape 1', () => {
    expect(weibullShape(1)).toBeCloseTo(1, 9);
  });

  test('a law is cut by redrawing: its quantiles are those of the part that is left', () => {
    const law: Law = { law: 'normal', mean: 82, sd: 18, min: 40, max: 120 };
    const { values, mean, distribution } = sample(law);
    const [low, high] = [jStat.normal.cdf(40, 82, 18), jStat.normal.cdf(120, 82, 18)];
    expect(values[0]).toBeGreaterThanOrEqual(40);
    expect(values.at(-1)).toBeLessThanOrEqual(120);
    expect(distribution.quantile(0.3)).toBeCloseTo(jStat.normal.inv(low + 0.3 * (high - low), 82, 18), 4);
    // Mean of a truncated normal law (textbook): mu - sd (phi(b) - phi(a)) / (Phi(b) - Phi(a)).
    const [a, b] = [(40 - 82) / 18, (120 - 82) / 18];
    const truth = 82 - (18 * (jStat.normal.pdf(b, 0, 1) - jStat.normal.pdf(a, 0, 1))) / (high - low);
    expect(distribution.mean).toBeCloseTo(truth, 2);
    expect(Math.abs(mean - truth)).toBeLessThan((4 * 17) / Math.sqrt(N));
  });

  test('fixed and sample draw what they are given', () => {
    expect(sample({ law: 'fixed', value: 25 }, 10).values).toEqual(Array(10).fill(25));
    const { values, mean } = sample({ law: 'sample', values: [1, 2, 6] });
    expect(new Set(values)).toEqual(new Set([1, 2, 6]));
    expect(Math.abs(mean - 3)).toBeLessThan((4 * 2.2) / Math.sqrt(N));
  });

  test('quantiles of draws are those of jstat (type 7)', () => {
    const { values } = sample({ law: 'gamma', mean: 9, sd: 7 }, 501);
    for (const p of [0.05, 0.25, 0.5, 0.75, 0.95])
      expect(quantile(values, p)).toBeCloseTo(jStat.quantiles(values, [p], 1, 1)[0]!, 10);
  });
});

describe('the rest of a stay', () => {
  test('an exponential stay does not remember the days already had', () => {
    const stay = distributionOf({ law: 'exponential', mean: 9 });
    const chance = chanceOf(3, 0, 1);
    const rest = Array.from({ length: N }, () => residual(stay, 20, chance));
    expect(Math.abs(rest.reduce((a, b) => a + b, 0) / N - 9)).toBeLessThan((4 * 9) / Math.sqrt(N));
  });

  test('a fixed stay ends on its day', () => {
    const stay = distributionOf({ law: 'fixed', value: 9 });
    expect(residual(stay, 4, chanceOf(3, 0, 1))).toBe(5);
    expect(residual(stay, 12, chanceOf(3, 0, 1))).toBe(0);
  });

  test.each([2, 60])('a lognormal stay after %d days: median by the conditional law', (had) => {
    const law: Law = { law: 'lognormal', mean: 9, sd: 7 };
    const stay = distributionOf(law);
    const chance = chanceOf(3, 0, 1);
    const rest = Array.from({ length: 4000 }, () => residual(stay, had, chance)).sort((a, b) => a - b);
    const passed = jStat.lognormal.cdf(had, mu, sigma);
    const truth = (p: number) => jStat.lognormal.inv(passed + p * (1 - passed), mu, sigma) - had;
    const slope = (truth(0.51) - truth(0.49)) / 0.02;
    expect(Math.abs(quantile(rest, 0.5) - truth(0.5))).toBeLessThan(4 * slope * Math.sqrt(0.25 / 4000));
  });
});

describe('chance', () => {
  test('the first numbers of small seeds are spread, not close to 1', () => {
    const first = Array.from({ length: 2000 }, (_, seed) => chanceOf(seed % 50, Math.floor(seed / 50), 1)());
    expect(first.filter((u) => u > 0.99).length).toBeLessThan(45);
    expect(Math.abs(first.reduce((a, b) => a + b, 0) / 2000 - 0.5)).toBeLessThan(
      4 * Math.sqrt(1 / 12 / 2000),
    );
  });

  test('neighbouring draws and streams do not go together', () => {
    const pairs = Array.from({ length: 4000 }, (_, n) => [
      chanceOf(1, n, 5)(),
      chanceOf(1, n + 1, 5)(),
      chanceOf(1, n, 6)(),
    ]);
    for (const other of [1, 2]) {
      const together =
        pairs.reduce((sum, pair) => sum + (pair[0]! - 0.5) * (pair[other]! - 0.5), 0) / 4000 / (1 / 12);
      expect(Math.abs(together)).toBeLessThan(4 / Math.sqrt(4000));
    }
  });

  test.each([0.3, 14, 75])('Poisson counts of mean %d: mean, variance and share at the mean', (mean) => {
    const chance = chanceOf(11, 0, 1);
    const counts = Array.from({ length: 20_000 }, () => poisson(mean, chance));
    const average = counts.reduce((a, b) => a + b, 0) / 20_000;
    const variance = counts.reduce((a, b) => a + (b - average) ** 2, 0) / 20_000;
    expect(Math.abs(average - mean)).toBeLessThan(4 * Math.sqrt(mean / 20_000));
    expect(Math.abs(variance / mean - 1)).toBeLessThan(4 * Math.sqrt((2 + 1 / mean) / 20_000));
    const share = counts.filter((count) => count <= mean).length / 20_000;
    expect(Math.abs(share - jStat.poisson.cdf(Math.floor(mean), mean))).toBeLessThan(
      (4 * 0.5) / Math.sqrt(20_000),
    );
  });
});

describe('arrivals', () => {
  test('doubling every 7 days from 2: a week brings 2 x 7 / ln 2 patients (closed form)', () => {
    const mean = meanOfDay({ first: 2, doublingDays: 7 });
    const week = Array.from({ length: 7 }, (_, day) => mean(day)).reduce((a, b) => a + b, 0);
    expect(week).toBeCloseTo((2 * 7) / Math.LN2, 10);
    expect(mean(7) / mean(0)).toBeCloseTo(2, 12);
  });

  test('the peak may lie inside a day; the rate then halves', () => {
    const mean = meanOfDay({ first: 2, doublingDays: 7, peakDay: 10.5, halvingDays: 10 });
    // By a fine sum over the day.
    const rate = (t: number) => (t < 10.5 ? 2 * 2 ** (t / 7) : 2 * 2 ** 1.5 * 2 ** (-(t - 10.5) / 10));
    const fine = Array.from({ length: 10_000 }, (_, n) => rate(10 + (n + 0.5) / 10_000)).reduce(
      (a, b) => a + b,
      0,
    );
    expect(mean(10)).toBeCloseTo(fine / 10_000, 6);
    expect(mean(30) / mean(20)).toBeCloseTo(0.5, 12);
  });

  test('without a halving time the peak lasts; a list goes on with its last day', () => {
    expect(meanOfDay({ first: 1, doublingDays: 5, peakDay: 10 })(40)).toBeCloseTo(4, 12);
    expect([0, 1, 2, 9].map(meanOfDay([3, 1, 4]))).toEqual([3, 1, 4, 4]);
    expect(meanOfDay(2)(17)).toBe(2);
  });
});
