/** What a bath may lack, the worst to overlook first, in letters that are not overlooked. */
const FREE = [
  ['calcium', 'CALCIUM-FREE'],
  ['potassium', 'POTASSIUM-FREE'],
  ['magnesium', 'MAGNESIUM-FREE'],
  ['bicarbonate', 'BICARBONATE-FREE'],
  ['glucose', 'GLUCOSE-FREE'],
] as const;

/** What a bath is typed to hold none of: it must not pass for another bath. What is not typed is not known. */
export const freeOf = (bath: Readonly<Record<string, unknown>> | undefined): readonly string[] =>
  FREE.flatMap(([solute, text]) => (bath?.[solute] === 0 ? [text] : []));

/** What a site's doses of mL/kg/h count, as a column is headed. */
export const doseName = (means: 'effluent' | 'dialysate'): string =>
  means === 'dialysate' ? 'Dialysate dose (prescribed)' : 'Effluent dose (prescribed)';
