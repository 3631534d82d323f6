import type { Recall } from '../../record/state/recall.ts';
import { countText, listText } from '../../words/numbers.ts';

/**
 * What to do about bags called back that left together, the most urgent first. What hangs is not noted: by the prescription,
 * in the unsafe case.
 */
export function recallActs({ hanging, waiting, beds, bed, replace, bath }: Recall): string[] {
  const where = bed === undefined && beds.length > 0 ? ` at ${listText(beds, 'or')}` : '';
  return [
    ...(hanging > 0 ? [`TAKE DOWN ${countText(hanging, 'bag')} that may hang${where}`] : []),
    ...(waiting > 0 ? [`bring back ${countText(waiting, 'bag')} not hung yet`] : []),
    ...(hanging + waiting === 0 ? ['used up by the prescription: look all the same'] : []),
    ...(replace > 0 ? [`carry ${replace} of ${bath ?? 'its bath'} in their place`] : []),
  ];
}
