import { CONDUCTIVITY_TOLERANCE } from '../chemistry/conductivity.ts';
import type { Scenario } from '../scenario/schema.ts';

/** The site's limits for what is measured and noted. */
export interface Limits {
  /** mg/L of total chlorine that a passed test may show: 0.1, ISO 23500-3:2019, Table 1 (from memory; also CJASN 2015;10(6):1061, Table 4). */
  readonly totalChlorine: number;
  /** Share of the expected conductivity: 0.05, common practice, no source. */
  readonly conductivity: number;
  /** 6.9 to 7.6: from memory (AAMI RD52), the site's to set. */
  readonly pH: readonly [low: number, high: number];
  /** Whether bags leave after a time, or after somebody has noted their release. */
  readonly releaseBy: 'time' | 'entry';
  /** What begins in so many minutes stays as it was planned, unless it has become impossible or unsafe. */
  readonly steadyMinutes: number;
}
const DEFAULTS: Limits = {
  totalChlorine: 0.1,
  conductivity: CONDUCTIVITY_TOLERANCE,
  pH: [6.9, 7.6],
  releaseBy: 'time',
  steadyMinutes: 120,
};

const numberOr = (value: unknown, otherwise: number): number =>
  typeof value === 'number' && Number.isFinite(value) && value >= 0 ? value : otherwise;

/** The site's limits, from `rules`: chlorineLimit, conductivityTolerance, pHMin, pHMax, releaseBy, steadyMinutes. */
export function limitsOf({ rules }: Pick<Scenario, 'rules'>): Limits {
  const given: Readonly<Record<string, unknown>> = rules ?? {};
  return {
    totalChlorine: numberOr(given.chlorineLimit, DEFAULTS.totalChlorine),
    conductivity: numberOr(given.conductivityTolerance, DEFAULTS.conductivity),
    pH: [numberOr(given.pHMin, DEFAULTS.pH[0]), numberOr(given.pHMax, DEFAULTS.pH[1])],
    releaseBy: given.releaseBy === 'entry' ? 'entry' : 'time',
    steadyMinutes: numberOr(given.steadyMinutes, DEFAULTS.steadyMinutes),
  };
}
