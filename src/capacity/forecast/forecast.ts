import type { Forecast, Law, Scenario } from '../../scenario/schema.ts';
import { type MeanOfDay, meanOfDay } from './arrivals.ts';
import { type Distribution, distributionOf } from './laws.ts';

/** One field of the forecast that the file may leave out: what stands in, in which unit, and where it comes from. */
interface DefaultNote {
  readonly field: string;
  /** As people read it. */
  readonly name: string;
  readonly unit: string;
  readonly standsIn: string;
  readonly source: string;
}

const STAY: Law = { law: 'lognormal', mean: 7.26, sd: 13.7 };
const WEIGHT: Law = { law: 'normal', mean: 82.4, sd: 18, min: 40, max: 180 };
const fixed = (value: number): Law => ({ law: 'fixed', value });

/** Every default of the forecast with its source; all of them are the site's to replace. */
export const DEFAULT_NOTES: readonly DefaultNote[] = [
  {
    field: 'days',
    name: 'Days looked ahead',
    unit: 'days',
    standsIn: '30',
    source: 'starting value, no source',
  },
  {
    field: 'draws',
    name: 'Simulated runs',
    unit: 'runs',
    standsIn: '10,000',
    source: 'starting value: error of a chance at most 1 point',
  },
  {
    field: 'seed',
    name: 'Seed',
    unit: 'number',
    standsIn: '1',
    source: 'starting value; the same number gives the same runs',
  },
  {
    field: 'confidence',
    name: 'Service level',
    unit: 'share of runs without shortage',
    standsIn: '0.95',
    source: 'starting value, no source',
  },
  {
    field: 'startsPerDay',
    name: 'New patients',
    unit: 'per day',
    standsIn: 'listed patients / mean stay',
    source: "keeps today's census: Little JDC. Oper Res 1961;9:383-387 (from memory)",
  },
  {
    field: 'stayDays',
    name: 'Length of stay',
    unit: 'days of therapy',
    standsIn: 'lognormal, mean 7.26, sd 13.7',
    source:
      'mean: 3,630 patient-days of 500 patients (PMC11686856); sd: so that 16 % stay under a day, 17 of 106 starts (DOI 10.1186/s40697-016-0124-7)',
  },
  {
    field: 'weight',
    name: 'Weight',
    unit: 'kg',
    standsIn: 'normal, mean 82.4, sd 18, 40 to 180',
    source:
      'mean: 1.36 L/h at 16.5 mL/kg/h (Venkataraman R, Kellum JA. Crit Care 2001;5(Suppl):P216); sd a site assumption; limits common practice, no source',
  },
  {
    field: 'dose',
    name: 'Effluent dose (prescribed)',
    unit: 'mL/kg/h prescribed effluent',
    standsIn: 'fixed, 25',
    source: 'prescribe 25-30 to deliver 20-25: Semin Dial 2021, DOI 10.1111/sdi.12974',
  },
  {
    field: 'hoursPerDay',
    name: 'Therapy hours per day',
    unit: 'h',
    standsIn: 'fixed, 22',
    source: 'median loss of 8.1 % of treatment time, 1.94 h per day (PMC11686856)',
  },
  {
    field: 'fluidRemoval',
    name: 'Net fluid removal',
    unit: 'mL/h',
    standsIn: 'fixed, 0',
    source: 'cautious: takes nothing off the dialysate',
  },
  {
    field: 'replacement',
    name: 'Replacement fluid (pre- and post-filter)',
    unit: 'mL/h',
    standsIn: 'fixed, 0',
    source: 'cautious: takes nothing off the dialysate',
  },
  {
    field: 'bathByDay',
    name: 'Bath by day of therapy',
    unit: 'share of patients by day of therapy',
    standsIn: 'as the listed patients are shared now',
    source: "the site's own list",
  },
  {
    field: 'listed',
    name: 'Listed patients',
    unit: 'as listed / by stay',
    standsIn: 'as listed',
    source: 'cautious: nobody leaves unplanned',
  },
  {
    field: 'breakdowns',
    name: 'Breakdowns of a machine',
    unit: 'mean days between, mean hours to repair',
    standsIn: 'none',
    source: "the site's own record; both times are exponential",
  },
  {
    field: 'absence',
    name: 'Absence of technicians',
    unit: 'chance of each technician in each shift, 0 to 1',
    standsIn: '0',
    source: "the site's own record",
  },
];

/** From which therapy day on which cumulated shares hold, in the scenario's order of baths. */
interface ShareStep {
  /** min of therapy */
  readonly at: number;
  readonly cumulated: readonly number[];
}

/** A forecast with its defaults in place. */
export interface Spec {
  readonly days: number;
  readonly draws: number;
  readonly seed: number;
  readonly confidence: number;
  readonly meanOfDay: MeanOfDay;
  readonly stay: Distribution;
  readonly weight: Distribution;
  readonly dose: Distribution;
  readonly hours: Distribution;
  readonly fluidRemoval: Distribution;
  readonly replacement: Distribution;
  readonly doseCap: number;
  readonly hoursCap: number;
  readonly shares: readonly ShareStep[];
  readonly byStay: boolean;
  /** days, hours; null: machines do not break down */
  readonly breakdowns: { readonly daysBetween: number; readonly hoursToRepair: number } | null;
  readonly absence: number;
}

function listedShare(scenario: Scenario): Record<string, number> {
  const count: Record<string, number> = {};
  for (const { bath } of scenario.patients) count[bath] = (count[bath] ?? 0) + 1;
  const first = scenario.baths[0];
  return scenario.patients.length > 0 || !first ? count : { [first.id]: 1 };
}

/** The forecast block as it is drawn from. The caller has judged it (`faultsOf`). */
export function specOf(scenario: Scenario): Spec {
  const given: Forecast = scenario.forecast ?? {};
  const stay = distributionOf(given.stayDays ?? STAY);
  const shares = (given.bathByDay?.length ? given.bathByDay : [{ fromDay: 0, share: listedShare(scenario) }])
    .map(({ fromDay, share }) => {
      const total = scenario.baths.reduce((sum, { id }) => sum + (share[id] ?? 0), 0);
      let sum = 0;
      const cumulated = scenario.baths.map(({ id }) => {
        sum += (share[id] ?? 0) / total;
        return sum;
      });
      return { at: Math.ceil(fromDay) * 1440, cumulated };
    })
    .sort((a, b) => a.at - b.at);
  return {
    days: given.days ?? 30,
    draws: given.draws ?? 10_000,
    seed: given.seed ?? 1,
    confidence: given.confidence ?? 0.95,
    meanOfDay: meanOfDay(given.startsPerDay ?? scenario.patients.length / stay.mean),
    stay,
    weight: distributionOf(given.weight ?? WEIGHT),
    dose: distributionOf(given.dose ?? fixed(25)),
    hours: distributionOf(given.hoursPerDay ?? fixed(22)),
    fluidRemoval: distributionOf(given.fluidRemoval ?? fixed(0)),
    replacement: distributionOf(given.replacement ?? fixed(0)),
    doseCap: given.doseCap ?? Number.POSITIVE_INFINITY,
    hoursCap: given.hoursCap ?? Number.POSITIVE_INFINITY,
    shares,
    byStay: given.listed === 'by stay',
    breakdowns: given.breakdowns ?? null,
    absence: given.absence ?? 0,
  };
}

/** The bath number that a patient with number u gets under cumulated shares. */
export function bathOf(cumulated: readonly number[], u: number): number {
  for (let bath = 0; bath < cumulated.length; bath++) if (u < cumulated[bath]! - 1e-12) return bath;
  let last = cumulated.length - 1;
  while (last > 0 && cumulated[last] === cumulated[last - 1]) last -= 1;
  return last;
}
