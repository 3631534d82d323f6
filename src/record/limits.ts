import { DEFAULT_RULES } from '../scenario/problem/rules.ts';
import type { Scenario } from '../scenario/schema.ts';

/** The site's limits for what is measured and noted. */
export interface Limits {
  /** mg/L of total chlorine that a passed test may show: 0.1, CJASN 2015;10(6):1061-1071, Table 4. */
  readonly totalChlorine: number;
  /** Share of the expected conductivity: 0.05, common practice, no source. */
  readonly conductivity: number;
  /** 6.9 to 7.6: a site assumption, the site's to set. */
  readonly pH: readonly [low: number, high: number];
  /** Whether bags leave after a time, or after somebody has noted their release. */
  readonly releaseBy: 'time' | 'entry';
  /** What begins in so many minutes stays as it was planned, unless it has become impossible or unsafe. */
  readonly steadyMinutes: number;
}

const numberOr = (value: unknown, otherwise: number): number =>
  typeof value === 'number' && Number.isFinite(value) && value >= 0 ? value : otherwise;

/** The site's limits, from `rules`: chlorineLimit, conductivityTolerance, pHMin, pHMax, releaseBy, steadyMinutes. */
export function limitsOf({ rules }: Pick<Scenario, 'rules'>): Limits {
  const limit = (name: 'chlorineLimit' | 'conductivityTolerance' | 'pHMin' | 'pHMax' | 'steadyMinutes') =>
    numberOr(rules?.[name], DEFAULT_RULES[name]);
  return {
    totalChlorine: limit('chlorineLimit'),
    conductivity: limit('conductivityTolerance'),
    pH: [limit('pHMin'), limit('pHMax')],
    // A word that is neither is an error of the scenario; until it is mended the stricter one holds.
    releaseBy: (rules?.releaseBy ?? DEFAULT_RULES.releaseBy) === 'time' ? 'time' : 'entry',
    steadyMinutes: limit('steadyMinutes'),
  };
}
