import type { Scenario } from '../schema.ts';
import type { DoseMeans, Hands } from './types.ts';

/** Starting values of `rules`; all of them are the site's to change. CP = common practice, no source. */
export const DEFAULT_RULES = {
  fillLitres: 6.5,
  maxLitres: 7.5,
  circuitHours: 24,
  shelfHours: 120,
  stabiliseMinutes: 5,
  sampleMinutes: 5,
  swapMinutes: 8,
  circuitMinutes: 30,
  releaseMinutes: 15,
  rounds: ['06:00', '18:00'],
  leadMinutes: 60,
  maxHangHours: 24,
  walkMinutes: 0,
  fillStartMinutes: 0,
  sampleBags: 0,
  releaseBy: 'time',
  /** KDIGO 2012, rec. 5.8.4, speaks of effluent (from memory). */
  doseMeans: 'effluent',
  steadyMinutes: 120,
  /** mg/L: CJASN 2015;10(6):1061-1071, Table 4. */
  chlorineLimit: 0.1,
  conductivityTolerance: 0.05,
  /** 6.9 to 7.6: a site assumption. */
  pHMin: 6.9,
  pHMax: 7.6,
} as const;
/** Minimum fill volume of a scenario's bags, L. */
export const bagLitresOf = ({ rules }: Pick<Scenario, 'rules'>): number =>
  rules?.fillLitres ?? DEFAULT_RULES.fillLitres;
/** What a dose of mL/kg/h means at a site. Any other word is an error (see `faults/`). */
export const doseMeansOf = ({ rules }: Pick<Scenario, 'rules'>): DoseMeans =>
  (rules?.doseMeans ?? DEFAULT_RULES.doseMeans) === 'dialysate' ? 'dialysate' : 'effluent';
/** Technicians that each kind of work takes where the site says nothing else. CP, no source. */
export const DEFAULT_HANDS: Hands = { circuit: 1, bath: 1, swap: 1, test: 1 };
