import { limitsOf } from '../fields.ts';
import type { Forecast, Law } from '../schema.ts';
import { error, type Fault, type FaultRule, type Ground, outside, warning } from './fault.ts';

const at = (...rest: (string | number)[]) => ['forecast', ...rest];

function* forecastNumberOutOfRange({ scenario }: Ground): Iterable<Fault> {
  const f = scenario.forecast;
  if (!f) return;
  for (const field of ['days', 'draws', 'seed', 'confidence', 'doseCap', 'hoursCap', 'absence'] as const)
    yield* outside(at(field), f[field], limitsOf(`forecast.${field}`));
  for (const field of ['daysBetween', 'hoursToRepair'] as const)
    yield* outside(at('breakdowns', field), f.breakdowns?.[field], limitsOf(`forecast.breakdowns.${field}`));
}

function* startsOutOfRange({ scenario }: Ground): Iterable<Fault> {
  const starts = scenario.forecast?.startsPerDay;
  const limits = { unit: 'patients a day', min: 0, max: 1000 };
  const path = at('startsPerDay');
  if (typeof starts === 'number') yield* outside(path, starts, limits);
  else if (Array.isArray(starts)) {
    if (starts.length === 0) yield error(path, 'the list is empty', 'one mean a day, e.g. [2, 3, 4]');
    for (const [i, mean] of starts.entries()) yield* outside([...path, i], mean, limits);
  } else if (starts) {
    const days = { unit: 'days', min: 0, aboveMin: true, max: 10_000 };
    if (starts.first == null)
      yield error([...path, 'first'], 'the growth has no first', 'patients a day at the start, e.g. 2');
    if (starts.doublingDays == null)
      yield error(
        [...path, 'doublingDays'],
        'the growth has no doubling time',
        'days in which new patients a day double, e.g. 7',
      );
    yield* outside([...path, 'first'], starts.first, limits);
    yield* outside([...path, 'doublingDays'], starts.doublingDays, days);
    yield* outside([...path, 'peakDay'], starts.peakDay, { ...days, aboveMin: false });
    yield* outside([...path, 'halvingDays'], starts.halvingDays, days);
    const { first = null, doublingDays = null, peakDay = null } = starts;
    if (first === null || doublingDays === null) return;
    const peak = first * 2 ** ((peakDay ?? scenario.forecast?.days ?? 30) / doublingDays);
    if (first <= limits.max && peak > limits.max)
      yield error(
        path,
        `growth reaches ${peak.toPrecision(3)} patients a day`,
        `at most ${limits.max} at the peak: a longer doubling time or an earlier peak`,
      );
  }
}

const LAWS = ['stayDays', 'weight', 'dose', 'hoursPerDay', 'fluidRemoval', 'replacement'] as const;
type LawField = (typeof LAWS)[number];
/** What a drawn value may be; stay and weight must be above 0. */
const RANGE: Record<LawField, { unit: string; most: number; positive: boolean }> = {
  stayDays: { unit: 'days', most: 3650, positive: true },
  weight: { unit: 'kg', most: 500, positive: true },
  dose: { unit: 'mL/kg/h', most: 200, positive: false },
  hoursPerDay: { unit: 'h a day', most: 24, positive: false },
  fluidRemoval: { unit: 'mL/h', most: 10_000, positive: false },
  replacement: { unit: 'mL/h', most: 20_000, positive: false },
};
const NEEDS: Record<Law['law'], readonly ('mean' | 'sd' | 'value' | 'values')[]> = {
  lognormal: ['mean', 'sd'],
  gamma: ['mean', 'sd'],
  weibull: ['mean', 'sd'],
  normal: ['mean', 'sd'],
  exponential: ['mean'],
  fixed: ['value'],
  sample: ['values'],
};

const eachLaw = (forecast: Forecast | null | undefined) =>
  LAWS.flatMap((field) => {
    const law = forecast?.[field];
    return law ? [{ field, law }] : [];
  });

/** A law lacks a number that it is made of. */
function* lawIncomplete({ scenario }: Ground): Iterable<Fault> {
  for (const { field, law } of eachLaw(scenario.forecast))
    for (const name of NEEDS[law.law] ?? []) {
      const value = law[name];
      if (value == null || (Array.isArray(value) && value.length === 0))
        yield error(
          at(field, name),
          `the law "${law.law}" has no ${name}`,
          `${name} in ${RANGE[field].unit}`,
        );
    }
}

function* lawOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const { field, law } of eachLaw(scenario.forecast)) {
    const { unit, most, positive } = RANGE[field];
    const limits = { unit, min: 0, max: most, aboveMin: positive };
    yield* outside(at(field, 'mean'), law.mean, { ...limits, aboveMin: law.law !== 'normal' || positive });
    yield* outside(at(field, 'sd'), law.sd, { unit, min: 0, max: most * 10, aboveMin: law.law !== 'normal' });
    yield* outside(at(field, 'value'), law.value, limits);
    for (const [i, value] of (law.values ?? []).entries())
      yield* outside(at(field, 'values', i), value, limits);
    const [min, max] = [law.min ?? Number.NEGATIVE_INFINITY, law.max ?? Number.POSITIVE_INFINITY];
    if (min > max)
      yield error(at(field, 'max'), `max is ${max}, below min (${min})`, `at least ${min} ${unit}`);
    // Cutting is by redrawing: a cut far from the law's middle would redraw for ever.
    const middle = law.law === 'fixed' ? law.value : law.law === 'sample' ? null : law.mean;
    const reach = 4 * (law.sd ?? (law.law === 'exponential' ? (law.mean ?? 0) : 0));
    if (middle != null && min <= max && (min > middle + reach || max < middle - reach))
      yield error(
        at(field),
        `min and max leave out all that the law draws`,
        `min and max around ${middle} ${unit}`,
      );
    if (law.values?.length && law.values.every((value) => value < min || value > max))
      yield error(at(field), 'min and max leave out every value', 'min and max around the values');
  }
}

function* bathSharesWrong({ scenario, baths }: Ground): Iterable<Fault> {
  const steps = scenario.forecast?.bathByDay ?? [];
  for (const [i, step] of steps.entries()) {
    const before = steps[i - 1]?.fromDay;
    const path = at('bathByDay', i);
    if (step.fromDay < 0 || (before !== undefined && step.fromDay <= before))
      yield error(
        [...path, 'fromDay'],
        `fromDay is ${step.fromDay}`,
        'therapy days in rising order, the first 0',
      );
    else if (i === 0 && step.fromDay !== 0)
      yield warning([...path, 'fromDay'], `fromDay is ${step.fromDay}`, 'the first is 0; it is taken as 0');
    for (const [id, share] of Object.entries(step.share)) {
      if (!baths.has(id))
        yield error(
          [...path, 'share', id],
          `bath "${id}" is not in the list of baths`,
          `one of ${[...baths].join(', ')}`,
        );
      yield* outside([...path, 'share', id], share, { unit: '(a share of 1)', min: 0, max: 1 });
    }
    const sum = Object.values(step.share).reduce((a, b) => a + b, 0);
    const adds = `the shares add up to ${Number(sum.toFixed(6))}`;
    // Typed thirds add up to 0.999; anything farther off is a slip.
    if (Math.abs(sum - 1) > 0.01) yield error([...path, 'share'], adds, '1 in all');
    else if (Math.abs(sum - 1) > 1e-6)
      yield warning([...path, 'share'], adds, '1 in all; they are taken in proportion');
  }
}

export const FORECAST_RULES: Record<string, FaultRule> = {
  forecastNumberOutOfRange,
  startsOutOfRange,
  lawIncomplete,
  lawOutOfRange,
  bathSharesWrong,
};
