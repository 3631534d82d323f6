/** Parts of acid concentrate, bicarbonate concentrate and water that are mixed, e.g. 1 : 1.225 : 32.775. */
interface Proportion {
  readonly acid: number;
  readonly bicarbonate: number;
  readonly water: number;
}

/**
 * The kinds in use. 35X: a training page on proportioning; 36.83X and 45X: from memory (ISO 23500-4, annex on concentrate
 * types). 45X is also mixed with 1.775 parts of bicarbonate: the part is the site's to state.
 */
export const PROPORTIONS: Readonly<Record<'35X' | '36.83X' | '45X', Proportion>> = {
  '35X': { acid: 1, bicarbonate: 1.225, water: 32.775 },
  '36.83X': { acid: 1, bicarbonate: 1.83, water: 34 },
  '45X': { acid: 1, bicarbonate: 1.72, water: 42.28 },
};

/**
 * What so much dialysate takes, L.
 * @param litres of dialysate
 */
export function concentrateFor(litres: number, { acid, bicarbonate, water }: Proportion): Proportion {
  const part = litres / (acid + bicarbonate + water);
  return { acid: acid * part, bicarbonate: bicarbonate * part, water: water * part };
}

/** What an additive meant for one volume comes to in another, mmol/L. Volumes in L; overfilled bags dilute additives. */
export const dilutedTo = (mmolPerLitre: number, meantLitres: number, litres: number): number =>
  (mmolPerLitre * meantLitres) / litres;

/**
 * The most potassium that a day of therapy can remove, mmol: flow x (plasma - bath) + net removal x plasma, at full
 * saturation. A ceiling, no forecast.
 * @param dialysate L a day @param removed net fluid removal, L a day @param plasma, bath mmol/L
 */
export const mostPotassium = (dialysate: number, removed: number, plasma: number, bath: number): number =>
  dialysate * Math.max(0, plasma - bath) + removed * plasma;
