import type { Start } from '../../record/from.ts';
import { countText } from '../../words/numbers.ts';
import { placesNow } from './places.ts';

/**
 * What of the record stands in the way of work as it is listed, the worst first: said at the head of every page that
 * somebody works by. Machines and water in doubt, failed or unavailable; bags to call back, to carry, or on hold.
 */
export function unsafeTexts(start: Start): string[] {
  const { recall, dueNow, lots } = start.state;
  const sum = (numbers: readonly number[]) => numbers.reduce((total, one) => total + one, 0);
  const back = sum(recall.map(({ bags }) => bags));
  const held = sum(lots.map((lot) => lot.held));
  return [
    ...(back > 0 ? [`CALL BACK ${countText(back, 'bag')}: see the recall list.`] : []),
    ...placesNow(start, []).flatMap(({ id, tone, says }) =>
      tone === 'bad' || tone === 'warn' ? `${id}: ${says}` : [],
    ),
    ...dueNow.flatMap((bags, bath) => (bags > 0 ? `CARRY ${bags} of ${start.problem.baths[bath]} NOW.` : [])),
    ...(held > 0 ? [`${countText(held, 'bag')} on hold: do not hang.`] : []),
  ];
}
