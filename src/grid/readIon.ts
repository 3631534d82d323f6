import { glucoseMgPerDecilitre, glucoseMmol, type Ion, mEqOf, mmolOf } from '../chemistry/ions.ts';
import { numberText } from '../words/numbers.ts';

/** What of a bath is typed as an amount in a litre. */
export type Solute = Ion | 'glucose';
type Unit = 'mEq/L' | 'mmol/L' | 'mg/dL';

/** The unit of each column of the sheet, and of the file. */
export const unitOf = (solute: Solute): Unit =>
  solute === 'calcium' || solute === 'magnesium' ? 'mEq/L' : 'mmol/L';

/**
 * Usual values of a finished bath in the column's unit and in the other that labels use; bare numbers that fit the other
 * alone are asked about. Common practice, no source.
 */
const USUAL: Partial<
  Record<
    Solute,
    {
      readonly own: readonly [number, number];
      readonly other: Unit;
      readonly inOther: readonly [number, number];
    }
  >
> = {
  calcium: { own: [2, 3.5], other: 'mmol/L', inOther: [1, 1.75] },
  magnesium: { own: [1, 1.5], other: 'mmol/L', inOther: [0.5, 0.75] },
  glucose: { own: [0, 20], other: 'mg/dL', inOther: [50, 200] },
};

/** 12 digits: no dust of floating point. */
const clean = (value: number): number => Number(value.toPrecision(12));

/** An amount in the column's unit; null: the unit is none that this solute comes in. */
function inColumnUnit(solute: Solute, value: number, unit: Unit): number | null {
  if (unit === 'mg/dL') return solute === 'glucose' ? clean(glucoseMmol(value)) : null;
  if (solute === 'glucose') return unit === 'mmol/L' ? value : null;
  if (unit === unitOf(solute)) return value;
  // Of one charge mEq/L and mmol/L are the same number.
  return clean(unit === 'mmol/L' ? mEqOf(solute, value) : value);
}

const UNITS: Readonly<Record<string, Unit>> = {
  'meq/l': 'mEq/L',
  'mval/l': 'mEq/L',
  'mmol/l': 'mmol/L',
  'mg/dl': 'mg/dL',
  'mg%': 'mg/dL',
};
const AMOUNT = /^([+-]?\d*\.?\d+)\s*(m[a-z]*(?:\/[a-z]+|%)?)$/i;

/** An amount with its unit, as on a concentrate's label, e.g. '1.25 mmol/L'; null: no such thing. */
export function readAmount(solute: Solute, text: string): { value: number } | { problem: string } | null {
  const [, digits, name] = AMOUNT.exec(text.replace(/\s*per\s*/i, '/')) ?? [];
  const unit = UNITS[name?.toLowerCase().replace(/\s/g, '') ?? ''];
  if (digits === undefined || unit === undefined) return null;
  const value = inColumnUnit(solute, Number(digits), unit);
  return value === null ? { problem: `expected ${expectedUnits(solute)}, not ${unit}` } : { value };
}
const expectedUnits = (solute: Solute): string =>
  solute === 'glucose' ? 'mmol/L or mg/dL' : 'mmol/L or mEq/L';

/** A question about a number without a unit that is usual in the other unit and not in the column's; else null. */
export function unitQuestion(solute: Solute, value: number): string | null {
  const usual = USUAL[solute];
  if (!usual) return null;
  const within = ([least, most]: readonly [number, number]) => value >= least && value <= most;
  if (value === 0 || within(usual.own) || !within(usual.inOther)) return null;
  const [own, other] = [unitOf(solute), usual.other];
  const inOwn = numberText(inColumnUnit(solute, value, other)!, 3, 'en-US');
  return `type its unit: '${value} ${other}' is ${inOwn} ${own}, '${value} ${own}' is unusual`;
}

/** The same amount in the other unit that people use, e.g. '1.25 mmol/L' beside 2.5 mEq/L of calcium; '' where there is none. */
export function alsoAs(solute: Solute, value: number): string {
  if (value === 0) return '';
  if (solute === 'glucose') return `${numberText(glucoseMgPerDecilitre(value), 0)} mg/dL`;
  return unitOf(solute) === 'mEq/L' ? `${numberText(mmolOf(solute, value), 3)} mmol/L` : '';
}
