import type { LotState } from '../../record/state/lots.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Bath } from '../../scenario/schema.ts';
import { freeOf } from '../../words/solutes.ts';
import { contentsText } from '../labels.ts';

/** The label of one bag of a fill whose bags are off, with its real times. */
export interface SwapLabel {
  readonly lot: string;
  readonly bath: string;
  readonly contents: string;
  /** What the bath lacks, in capitals, e.g. CALCIUM-FREE: shown large. */
  readonly warnings: readonly string[];
  readonly machine: string;
  /** Bags off the machine, minute from the scenario's start. */
  readonly made: number;
  readonly expires: number;
  readonly litres: number;
  readonly number: number;
  readonly of: number;
  /** What the barcode says: the lot as it is read, and the bag. */
  readonly code: string;
}

/** Plain ASCII, e.g. `BT2/M1%202031-02-03%2009:15/3-8`: the lot percent-encoded (RFC 3986), the bag, and of how many. */
export const bagCode = (lot: string, number: number, of: number): string =>
  `BT2/${encodeURIComponent(lot)}/${number}-${of}`;

/** The lot and bag that a label's code names; null for any other text. */
export function readBagCode(text: string): { lot: string; number: number; of: number } | null {
  const fields = /^BT2\/([^/]+)\/(\d{1,4})-(\d{1,4})$/.exec(text.trim());
  if (!fields) return null;
  try {
    return { lot: decodeURIComponent(fields[1]!), number: Number(fields[2]), of: Number(fields[3]) };
  } catch {
    return null;
  }
}

/**
 * Labels of the bags of one fill, for its swap: those that were good. Bags on hold get none: they are not to leave.
 * @param lot a fill's lot whose bags are off
 */
export function swapLabels({ rules }: Problem, lot: LotState, baths: readonly Bath[]): SwapLabel[] {
  const { fill, expires } = lot;
  const bath = baths.find(({ id }) => id === lot.bath);
  if (!fill || fill.end === null || expires === null || !bath || lot.held > 0) return [];
  const of =
    lot.made -
    lot.discards.filter(({ entry }) => entry === fill.off).reduce((sum, { bags }) => sum + bags, 0);
  return Array.from({ length: of }, (_, index) => ({
    lot: lot.lot,
    bath: bath.id,
    contents: contentsText(bath),
    warnings: freeOf(bath),
    machine: fill.machine,
    made: fill.end!,
    expires,
    litres: rules.fillLitres,
    number: index + 1,
    of,
    code: bagCode(lot.lot, index + 1, of),
  }));
}

/** What is recalled, with the codes of the labels that its bags may bear: which of a lot's bags left is not noted. */
export const recallCodes = (lot: LotState): string[] => {
  const { fill, made, discards } = lot;
  if (!fill) return [];
  const of =
    made - discards.filter(({ entry }) => entry === fill.off).reduce((sum, { bags }) => sum + bags, 0);
  return Array.from({ length: of }, (_, index) => bagCode(lot.lot, index + 1, of));
};
