import type { Score } from '../plan/plan.ts';
import { countText, numberText } from '../words/numbers.ts';

/**
 * What a better plan would change, e.g. '12 tasks move, 40 min less work'.
 * @param moves tasks that are new, gone, or at another minute
 */
export function betterText(moves: number, before: Score, after: Score): string {
  const litres = before.unmetLitres - after.unmetLitres;
  const bags = before.reserveShort - after.reserveShort;
  const minutes = before.handsOnMinutes - after.handsOnMinutes;
  const gains = [
    ...(litres > 1e-6 ? [`${numberText(litres)} L less unmet`] : []),
    ...(bags > 1e-6 ? [`${countText(bags, 'more bag')} in reserve`] : []),
    ...(minutes > 0 ? [`${numberText(minutes)} min less work`] : []),
    ...(minutes < 0 ? [`${numberText(-minutes)} min more work`] : []),
  ];
  const soon = litres <= 1e-6 && before.unmetLitreHours - after.unmetLitreHours > 1e-6;
  if (soon) gains.unshift('what is short comes later');
  return [moves === 1 ? '1 task moves' : `${numberText(moves)} tasks move`, ...gains].join(', ');
}
