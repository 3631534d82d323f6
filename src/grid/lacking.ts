import { numberText } from '../words/numbers.ts';

/** Ions whose absence must not be overlooked at the bedside. */
const FREE = [
  ['calcium', 'CALCIUM-FREE'],
  ['potassium', 'POTASSIUM-FREE'],
  ['magnesium', 'MAGNESIUM-FREE'],
  ['bicarbonate', 'BICARBONATE-FREE'],
] as const;

/** 'K 4 mmol/L, Ca 2.5 mEq/L', or 'K 4 mmol/L, CALCIUM-FREE': what a person must know who chooses a bath. */
export function bathNote(bath: Readonly<Record<string, unknown>> | undefined): string {
  if (!bath) return '';
  const said = (ion: string, name: string, unit: string) =>
    typeof bath[ion] === 'number' && bath[ion] !== 0 ? [`${name} ${numberText(bath[ion], 2)} ${unit}`] : [];
  const lacks = lackingText(bath);
  return [
    ...said('potassium', 'K', 'mmol/L'),
    ...said('calcium', 'Ca', 'mEq/L'),
    ...(lacks ? [lacks] : []),
  ].join(', ');
}

/** 'CALCIUM-FREE, POTASSIUM-FREE': of what is typed as 0; what is not typed is not known. */
export const lackingText = (bath: Readonly<Record<string, unknown>>): string =>
  FREE.flatMap(([ion, text]) => (bath[ion] === 0 ? [text] : [])).join(', ');
