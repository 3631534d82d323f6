import { numberText } from '../words/numbers.ts';
import { freeOf } from '../words/solutes.ts';
import { alsoAs } from './readIon.ts';

/** 'K 4 mmol/L, Ca 2.5 mEq/L (1.25 mmol/L)', or 'K 4 mmol/L, CALCIUM-FREE': what a person must know who chooses a bath. */
export function bathNote(bath: Readonly<Record<string, unknown>> | undefined): string {
  if (!bath) return '';
  const said = (ion: 'potassium' | 'calcium', name: string, unit: string) => {
    const value = bath[ion];
    if (typeof value !== 'number' || value === 0) return [];
    const also = alsoAs(ion, value);
    return [`${name} ${numberText(value, 2)} ${unit}${also && ` (${also})`}`];
  };
  const lacks = lackingText(bath);
  return [
    ...said('potassium', 'K', 'mmol/L'),
    ...said('calcium', 'Ca', 'mEq/L'),
    ...(lacks ? [lacks] : []),
  ].join(', ');
}

/** 'CALCIUM-FREE, POTASSIUM-FREE': of what is typed as 0; what is not typed is not known. */
export const lackingText = (bath: Readonly<Record<string, unknown>>): string => freeOf(bath).join(', ');
