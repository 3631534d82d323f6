import type { Bath } from '../scenario/schema.ts';

/** Ions of a bath as the scenario lists them; magnesium and calcium carry two charges. */
const CATIONS = ['sodium', 'potassium', 'calcium', 'magnesium'] as const;
const ANIONS = ['chloride', 'bicarbonate', 'acetate'] as const;
export type Ion = (typeof CATIONS)[number] | (typeof ANIONS)[number];
export const IONS: readonly Ion[] = [...CATIONS, ...ANIONS];

/** Charges of one ion, without its sign. */
export const CHARGES: Readonly<Record<Ion, 1 | 2>> = {
  sodium: 1,
  potassium: 1,
  calcium: 2,
  magnesium: 2,
  chloride: 1,
  bicarbonate: 1,
  acetate: 1,
};

/** mg/dL x this = mmol/L of glucose (molar mass 180.16 g/mol): BMC Nephrol 2023;24, 10.1186/s12882-023-03260-9, Table 1, footnote 2. */
const GLUCOSE_MMOL = 0.05551;

export const mmolOf = (ion: Ion, mEqPerLitre: number): number => mEqPerLitre / CHARGES[ion];
export const mEqOf = (ion: Ion, mmolPerLitre: number): number => mmolPerLitre * CHARGES[ion];
/** @param mgPerDecilitre glucose, mg/dL @returns mmol/L */
export const glucoseMmol = (mgPerDecilitre: number): number => mgPerDecilitre * GLUCOSE_MMOL;
/** @param mmolPerLitre glucose, mmol/L @returns mg/dL */
export const glucoseMgPerDecilitre = (mmolPerLitre: number): number => mmolPerLitre / GLUCOSE_MMOL;

/** mEq/L of each ion. A bath's row lists calcium and magnesium in mEq/L, all other ions in mmol/L, which are the same. */
export type Composition = Readonly<Record<Ion, number>>;

/** What of a bath's composition is typed, and what is not: an ion that is not typed counts 0 and is named. */
export function compositionOf(bath: Bath): { composition: Composition; missing: readonly Ion[] } {
  const missing = IONS.filter((ion) => bath[ion] == null);
  const composition = Object.fromEntries(IONS.map((ion) => [ion, bath[ion] ?? 0])) as Record<Ion, number>;
  return { composition, missing };
}

const sum = (ions: readonly Ion[], amount: (ion: Ion) => number): number =>
  ions.reduce((total, ion) => total + amount(ion), 0);

/** Cations less anions, mEq/L: 0 where all ions are listed and measured exactly. */
export const chargeGap = (composition: Composition): number =>
  sum(CATIONS, (ion) => composition[ion]) - sum(ANIONS, (ion) => composition[ion]);

/**
 * Sum of mmol/L of all that is dissolved, mOsm/L (each particle counted as one: no osmotic coefficient).
 * @param glucose mmol/L
 */
export const osmolarity = (composition: Composition, glucose: number): number =>
  sum(IONS, (ion) => mmolOf(ion, composition[ion])) + glucose;
