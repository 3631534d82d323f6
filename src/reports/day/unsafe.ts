import type { Start } from '../../record/from.ts';
import { countText, numberText } from '../../words/numbers.ts';
import { placesNow } from './places.ts';

/**
 * What is due now, by bath, e.g. '7 of 2K': bags of the fill volume. Where some of the bath's bags hold another volume, the
 * liters too, for then fewer or more bags are carried.
 */
export const carriesNow = ({ problem, state }: Pick<Start, 'problem' | 'state'>): string[] =>
  state.dueNow.flatMap((bags, bath) => {
    if (bags === 0) return [];
    const differ = problem.lots.some((lot) => lot.bath === bath && lot.bagParts !== problem.bagParts);
    const litres = (bags * problem.bagParts) / problem.partsPerLitre;
    return `${bags} of ${problem.baths[bath]}${differ ? ` (${numberText(litres)} L)` : ''}`;
  });

/**
 * What of the record stands in the way of work as it is listed, the worst first: said at the head of every page that
 * somebody works by. Machines and water in doubt, failed or unavailable; bags to call back, to carry, or on hold.
 */
export function unsafeTexts(start: Start): string[] {
  const { recall, lots } = start.state;
  const sum = (numbers: readonly number[]) => numbers.reduce((total, one) => total + one, 0);
  const back = sum(recall.map(({ bags }) => bags));
  const held = sum(lots.map((lot) => lot.held));
  return [
    ...(back > 0 ? [`CALL BACK ${countText(back, 'bag')}: see the recall list.`] : []),
    ...placesNow(start, []).flatMap(({ id, tone, says }) =>
      tone === 'bad' || tone === 'warn' ? `${id}: ${says}` : [],
    ),
    ...carriesNow(start).map((text) => `CARRY ${text} NOW.`),
    ...(held > 0 ? [`${countText(held, 'bag')} on hold: do not hang.`] : []),
  ];
}
