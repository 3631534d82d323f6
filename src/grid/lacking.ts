/** Ions whose absence must not be overlooked at the bedside. */
const FREE = [
  ['calcium', 'CALCIUM-FREE'],
  ['potassium', 'POTASSIUM-FREE'],
  ['magnesium', 'MAGNESIUM-FREE'],
  ['bicarbonate', 'BICARBONATE-FREE'],
] as const;

/** 'CALCIUM-FREE, POTASSIUM-FREE': of what is typed as 0; what is not typed is not known. */
export const lackingText = (bath: Readonly<Record<string, unknown>>): string =>
  FREE.flatMap(([ion, text]) => (bath[ion] === 0 ? [text] : [])).join(', ');
