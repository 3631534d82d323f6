import type { Law } from '../../scenario/schema.ts';
import { type Chance, exponential, gamma, normal } from '../draws/random.ts';

/** A law of chance with its parameters worked out. All amounts are in the unit of the field it stands for. */
export interface Distribution {
  readonly mean: number;
  /** P(X <= x). */
  cdf(x: number): number;
  /** The smallest x with P(X <= x) >= p, for 0 < p < 1. */
  quantile(p: number): number;
  draw(chance: Chance): number;
}

/** ln of the gamma function, Lanczos' approximation with g = 7 and n = 9 (error below 1e-13; from memory). */
export function lnGamma(x: number): number {
  const c = [
    0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
    12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
  ];
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - lnGamma(1 - x);
  const t = x + 6.5;
  const sum = c.slice(1).reduce((total, value, index) => total + value / (x + index), c[0]!);
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum);
}

/** Lower regularised incomplete gamma P(a, x): series below a + 1, continued fraction above. */
function gammaP(a: number, x: number): number {
  if (x <= 0) return 0;
  const front = Math.exp(a * Math.log(x) - x - lnGamma(a));
  if (x < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let n = 1; n < 10_000 && term > sum * 1e-16; n++) {
      term *= x / (a + n);
      sum += term;
    }
    return front * sum;
  }
  let b = x + 1 - a;
  let c = 1e300;
  let d = 1 / b;
  let h = d;
  for (let n = 1; n < 10_000; n++) {
    const an = -n * (n - a);
    b += 2;
    d = 1 / (an * d + b);
    c = b + an / c;
    h *= d * c;
    if (Math.abs(d * c - 1) < 1e-16) break;
  }
  return 1 - front * h;
}

/** P(Z <= z) of the standard normal law. */
const normalCdf = (z: number): number =>
  z < 0 ? (1 - gammaP(0.5, (z * z) / 2)) / 2 : (1 + gammaP(0.5, (z * z) / 2)) / 2;

/** The x between low and high at which a rising function reaches a value, by halving. */
function solve(rising: (x: number) => number, value: number, low: number, high: number): number {
  let [a, b] = [low, high];
  for (let n = 0; n < 200 && b - a > 1e-15 * Math.max(Math.abs(a), Math.abs(b)); n++) {
    const middle = (a + b) / 2;
    if (rising(middle) < value) a = middle;
    else b = middle;
  }
  return (a + b) / 2;
}

function inverse(cdf: (x: number) => number, low: number): (p: number) => number {
  return (p) => {
    let high = Math.max(1, low + 1);
    while (cdf(high) < p) high = low + 2 * (high - low);
    return solve(cdf, p, low, high);
  };
}

/** The Weibull shape whose sd / mean is given: 1 + cv^2 = G(1 + 2/k) / G(1 + 1/k)^2, falling in k. */
export function weibullShape(cv: number): number {
  const minus = (k: number) => -(lnGamma(1 + 2 / k) - 2 * lnGamma(1 + 1 / k));
  return solve(minus, -Math.log1p(cv * cv), 0.05, 500);
}

const fixed = (value: number): Distribution => ({
  mean: value,
  cdf: (x) => (x >= value ? 1 : 0),
  quantile: () => value,
  draw: () => value,
});

function plain(law: Law): Distribution {
  const mean = law.mean ?? 0;
  const sd = law.sd ?? 0;
  switch (law.law) {
    case 'fixed':
      return fixed(law.value ?? mean);
    case 'sample': {
      const values = [...(law.values ?? [])].sort((a, b) => a - b);
      return {
        mean: values.reduce((sum, value) => sum + value, 0) / values.length,
        cdf: (x) => values.filter((value) => value <= x).length / values.length,
        quantile: (p) => values[Math.min(values.length - 1, Math.ceil(p * values.length - 1e-12) - 1)]!,
        draw: (chance) => values[Math.floor(chance() * values.length)]!,
      };
    }
    case 'exponential': {
      return {
        mean,
        cdf: (x) => (x > 0 ? -Math.expm1(-x / mean) : 0),
        quantile: (p) => -mean * Math.log1p(-p),
        draw: (chance) => mean * exponential(chance),
      };
    }
    case 'normal': {
      if (sd === 0) return fixed(mean);
      const cdf = (x: number) => normalCdf((x - mean) / sd);
      return {
        mean,
        cdf,
        quantile: inverse(cdf, mean - 40 * sd),
        draw: (chance) => mean + sd * normal(chance),
      };
    }
    case 'lognormal': {
      if (sd === 0) return fixed(mean);
      const variance = Math.log1p((sd / mean) ** 2);
      const mu = Math.log(mean) - variance / 2;
      const sigma = Math.sqrt(variance);
      const cdf = (x: number) => (x > 0 ? normalCdf((Math.log(x) - mu) / sigma) : 0);
      return {
        mean,
        cdf,
        quantile: inverse(cdf, 0),
        draw: (chance) => Math.exp(mu + sigma * normal(chance)),
      };
    }
    case 'gamma': {
      if (sd === 0) return fixed(mean);
      const shape = (mean / sd) ** 2;
      const scale = (sd * sd) / mean;
      const cdf = (x: number) => gammaP(shape, x / scale);
      return { mean, cdf, quantile: inverse(cdf, 0), draw: (chance) => scale * gamma(shape, chance) };
    }
    case 'weibull': {
      if (sd === 0) return fixed(mean);
      const shape = weibullShape(sd / mean);
      const scale = mean / Math.exp(lnGamma(1 + 1 / shape));
      return {
        mean,
        cdf: (x) => (x > 0 ? -Math.expm1(-((x / scale) ** shape)) : 0),
        quantile: (p) => scale * (-Math.log1p(-p)) ** (1 / shape),
        draw: (chance) => scale * exponential(chance) ** (1 / shape),
      };
    }
  }
}

const REDRAWS = 1000;

/** Cut to min..max by redrawing: the law given that it falls inside. */
function cut(whole: Distribution, law: Law): Distribution {
  if (law.min == null && law.max == null) return whole;
  const min = law.min ?? Number.NEGATIVE_INFINITY;
  const max = law.max ?? Number.POSITIVE_INFINITY;
  const below = min === Number.NEGATIVE_INFINITY ? 0 : whole.cdf(min - Number.EPSILON * Math.abs(min));
  const inside = (max === Number.POSITIVE_INFINITY ? 1 : whole.cdf(max)) - below;
  const quantile = (p: number) => Math.min(max, Math.max(min, whole.quantile(below + p * inside)));
  return {
    // The mean of the cut law by its quantiles: 2,000 slices of equal chance, exact enough to be shown.
    mean:
      Array.from({ length: 2000 }, (_, n) => quantile((n + 0.5) / 2000)).reduce((a, b) => a + b, 0) / 2000,
    cdf: (x) => (x < min ? 0 : x >= max ? 1 : (whole.cdf(x) - below) / inside),
    quantile,
    draw: (chance) => {
      for (let n = 0; n < REDRAWS; n++) {
        const value = whole.draw(chance);
        if (value >= min && value <= max) return value;
      }
      return quantile(Math.max(1e-12, chance()));
    },
  };
}

/**
 * A law of the forecast as something to draw from. The caller has judged it (`faultsOf`): means and values are
 * above 0 where the law needs it, and min..max holds some of it.
 */
export const distributionOf = (law: Law): Distribution => cut(plain(law), law);

const TRIES = 64;

/**
 * What is left of a stay of which `had` has passed: X - had, given X > had. A stay that the law says is over by now
 * ends at once. Redrawing is quick; a law that hardly ever lasts that long is turned over exactly instead.
 */
export function residual(stay: Distribution, had: number, chance: Chance): number {
  if (had <= 0) return stay.draw(chance);
  for (let n = 0; n < TRIES; n++) {
    const whole = stay.draw(chance);
    if (whole > had) return whole - had;
  }
  const passed = stay.cdf(had);
  const p = passed + (1 - passed) * chance();
  return p >= 1 ? 0 : Math.max(0, stay.quantile(Math.max(p, 1e-12)) - had);
}
