import type { Bath } from '../scenario/schema.ts';
import { CHARGES, type Composition, compositionOf, IONS, type Ion, mmolOf } from './ions.ts';

/** Limiting conductivity of one charge at 25 C, S cm2/mol. Na, Cl: PMC2576370, Table 5; the others from memory (CRC Handbook). */
const LIMITING: Readonly<Record<Ion, number>> = {
  sodium: 50.1,
  potassium: 73.5,
  calcium: 59.5,
  magnesium: 53.06,
  chloride: 76.35,
  bicarbonate: 44.5,
  acetate: 40.9,
};
/** Times the value of 25 C at 37 C: polynomials of McCleskey RB et al. 2012. */
const WARMER: Readonly<Record<Ion, number>> = {
  sodium: 1.2637,
  potassium: 1.2347,
  calcium: 1.2628,
  magnesium: 1.2664,
  chloride: 1.2458,
  bicarbonate: 1.2564,
  acetate: 1.2564,
};
/** Constants of the law at a temperature, from memory: Robinson RA, Stokes RH. Electrolyte Solutions, 2nd ed. 1959. */
interface Law {
  readonly limiting: (ion: Ion) => number;
  readonly b1: number;
  readonly b2: number;
  readonly b: number;
}
const COOL: Law = { limiting: (ion) => LIMITING[ion], b1: 0.23, b2: 60.65, b: 0.3291 };
const WARM: Law = { limiting: (ion) => LIMITING[ion] * WARMER[ion], b1: 0.2352, b2: 78.69, b: 0.3316 };
/** Size of an ion, angstrom. */
const SIZE = 4;

/** Half the sum of c z^2, mol/L. */
const ionicStrength = (composition: Composition): number =>
  IONS.reduce((total, ion) => total + (mmolOf(ion, composition[ion]) / 1000) * CHARGES[ion] ** 2, 0) / 2;

/**
 * mS/cm by the law of Robinson and Stokes: the sum of c lambda / 1000 with
 * lambda = L0 - (B1 L0 + B2 / 2) z sqrt(I) / (1 + B a sqrt(I)). The factor z is an approximation for calcium and
 * magnesium, which carry about 0.9 % of the current.
 */
function byLaw(composition: Composition, { limiting, b1, b2, b }: Law): number {
  const root = Math.sqrt(ionicStrength(composition));
  const held = root / (1 + b * SIZE * root);
  return IONS.reduce((total, ion) => {
    const free = limiting(ion);
    return total + (composition[ion] * (free - (b1 * free + b2 / 2) * CHARGES[ion] * held)) / 1000;
  }, 0);
}

/** C; beyond them the straight line is off by more than 1 %. */
const COOLEST = 15;
const WARMEST = 45;

/**
 * Conductivity to expect of a composition, mS/cm, at the meter's temperature. Computed at 25 and 37 C; at other
 * temperatures the straight line through these two (for 0.1 mol/kg KCl it is off by at most 0.4 % from 20 to 40 C).
 * @param temperature C
 * @returns null outside 15..45 C
 */
export function conductivityOf(composition: Composition, temperature: number): number | null {
  if (!(temperature >= COOLEST && temperature <= WARMEST)) return null;
  const cool = byLaw(composition, COOL);
  return cool + ((byLaw(composition, WARM) - cool) * (temperature - 25)) / 12;
}

/** Without these a sum is no estimate: together they carry nine tenths of the current. */
const NEEDED: readonly Ion[] = ['sodium', 'chloride', 'bicarbonate'];

/** Whether enough of a bath's composition is typed for a conductivity to expect. */
export const hasExpectedConductivity = (bath: Bath): boolean => NEEDED.every((ion) => bath[ion] != null);

/**
 * Conductivity to expect of a bath as typed, mS/cm; null where sodium, chloride or bicarbonate are not typed, or the
 * temperature is outside 15..45 C.
 */
export function expectedConductivity(bath: Bath, temperature: number): number | null {
  if (!hasExpectedConductivity(bath)) return null;
  return conductivityOf(compositionOf(bath).composition, temperature);
}

/** Share of the theoretical value by which a reading may be off: common practice, no source. */
export const CONDUCTIVITY_TOLERANCE = 0.05;

/**
 * Baths of which one reading can be within limits for both: conductivity cannot tell which of them runs.
 * @param tolerance share of the expected value, e.g. 0.05
 * @returns pairs of ids, in the list's order; baths without an expected value are in none
 */
export function indistinguishable(
  baths: readonly Bath[],
  temperature: number,
  tolerance = CONDUCTIVITY_TOLERANCE,
): readonly (readonly [string, string])[] {
  const known = baths.flatMap((bath) => {
    const expected = expectedConductivity(bath, temperature);
    return expected === null ? [] : { id: bath.id, expected };
  });
  return known.flatMap((one, index) =>
    known.slice(index + 1).flatMap((other): [string, string][] => {
      const [low, high] = one.expected < other.expected ? [one, other] : [other, one];
      return low.expected * (1 + tolerance) >= high.expected * (1 - tolerance) ? [[one.id, other.id]] : [];
    }),
  );
}
