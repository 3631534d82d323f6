import type { RegionAnswer, Saving, Transfer } from '../capacity/region/region.ts';
import { countText, numberText } from '../words/numbers.ts';
import { chanceText } from './capacityWords.ts';

/** Who lends decides nothing about use: said wherever transfers are shown. */
export const REGION_CAUTION =
  'The receiving site releases: it judges every lent bag, circuit and machine by its own procedure before use. Keep the conditions of storage on the way.';

/** What goes, e.g. '40 bags of 2K', '6 of circuit', '2 machines (M7, M8)'. */
function lentText({ kind, what, quantity }: Transfer): string {
  switch (kind) {
    case 'bags':
      return `${countText(quantity, 'bag')} of ${what}`;
    case 'supply':
      return `${numberText(quantity)} of ${what}`;
    case 'machine':
      return `${countText(quantity, 'machine')} (${what})`;
  }
}

export const TRANSFER_HEADS = ['Leaves', 'from', 'to', 'what', 'arrives', 'expires'] as const;
/** A transfer under `TRANSFER_HEADS`. @param when a local time as the reader writes it */
export const transferCells = (one: Transfer, when: (local: string) => string): string[] => [
  when(one.leaves),
  one.from,
  one.to,
  lentText(one),
  when(one.arrives),
  one.expires === null ? '-' : when(one.expires),
];

export const SAVING_HEADS = [
  'Site',
  'runs short now',
  'with the transfers',
  'mean short now, bags',
  'then, bags',
] as const;
export const savingCells = (one: Saving): string[] => [
  one.site,
  chanceText(one.chanceBefore),
  chanceText(one.chanceAfter),
  numberText(one.bagsShortBefore),
  numberText(one.bagsShortAfter),
];

/** The answer in a sentence. */
export function regionText({ transfers, savings }: RegionAnswer): string {
  if (transfers.length === 0)
    return 'No site can lend anything that another one lacks and that arrives in time.';
  const saved = savings.reduce((sum, one) => sum + one.bagsShortBefore - one.bagsShortAfter, 0);
  return `${countText(transfers.length, 'transfer')}: on average ${countText(saved, 'bag')} fewer missing in the region.`;
}
