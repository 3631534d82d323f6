import { expectedConductivity, hasExpectedConductivity } from '../../chemistry/conductivity.ts';
import type { Bath } from '../../scenario/schema.ts';
import type { EntryOf } from '../entries.ts';
import type { Limits } from '../limits.ts';

export type Quantity = 'conductivity' | 'pH' | 'potassium';
/** One measured value against its limits, both inclusive, in its own unit (mS/cm; pH; mmol/L). */
export interface Judged {
  readonly quantity: Quantity;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly within: boolean;
}
export interface ReadingVerdict {
  /** out: a value is outside its limits. within: none is, and conductivity is among them where it can be judged. */
  readonly result: 'within' | 'out' | 'incomplete';
  readonly judged: readonly Judged[];
}

const EPS = 1e-9;
const judgedBy = (quantity: Quantity, value: number, low: number, high: number): Judged => ({
  quantity,
  value,
  low,
  high,
  within: value >= low - EPS && value <= high + EPS,
});

/** Conductivity within the site's share of what the composition leads to expect at the meter's temperature. */
function conductivityJudged({ conductivity, temperature }: Measured, bath: Bath, limits: Limits): Judged[] {
  if (conductivity == null || temperature == null) return [];
  const expected = expectedConductivity(bath, temperature);
  if (expected === null) return [];
  const band = expected * limits.conductivity;
  return [judgedBy('conductivity', conductivity, expected - band, expected + band)];
}

/** Potassium within 5 % or 0.1 mmol/L, whichever is more: ISO 13958:2014, 4.1.2.1. */
function potassiumLimits(prescribed: number): readonly [low: number, high: number] {
  const band = Math.max(0.05 * prescribed, 0.1);
  return [prescribed - band, prescribed + band];
}

type Measured = Pick<EntryOf<'reading'>, 'conductivity' | 'temperature' | 'pH' | 'potassium'>;

/**
 * A reading against the bath that runs. What is not measured, or cannot be judged because the composition or the
 * temperature is not known, is left out; conductivity never shows which of two baths runs that differ in potassium alone.
 */
export function judgeReading(measured: Measured, bath: Bath | null, limits: Limits): ReadingVerdict {
  const judged: Judged[] = bath ? conductivityJudged(measured, bath, limits) : [];
  if (measured.pH != null) judged.push(judgedBy('pH', measured.pH, ...limits.pH));
  if (measured.potassium != null && bath?.potassium != null)
    judged.push(judgedBy('potassium', measured.potassium, ...potassiumLimits(bath.potassium)));
  if (judged.some(({ within }) => !within)) return { result: 'out', judged };
  const judgeable = bath !== null && hasExpectedConductivity(bath);
  const enough = judgeable ? judged.some(({ quantity }) => quantity === 'conductivity') : judged.length > 0;
  return { result: enough ? 'within' : 'incomplete', judged };
}
