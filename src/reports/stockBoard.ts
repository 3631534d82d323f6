import { type Cover, firstToExpire } from '../plan/cover.ts';
import type { Problem } from '../scenario/problem/types.ts';

/** One lot on the board: what should lie there at the board's minute, and what for. */
export interface StockRow {
  readonly lot: string;
  readonly origin: 'stock' | 'delivery' | 'fill';
  /** The lot's own whole bags there then: those promised and those free. */
  readonly bags: number;
  /** Litres of one bag. */
  readonly litres: number;
  readonly ready: number;
  readonly expires: number;
  /** Whole bags promised to rounds from the minute on. */
  readonly promised: readonly { readonly at: number; readonly bags: number }[];
  /** Bags that no round takes. */
  readonly free: number;
}
interface BathStock {
  readonly bath: string;
  readonly rows: readonly StockRow[];
  readonly bags: number;
  readonly litres: number;
}

/**
 * Whole bags that each serving of a lot takes along, in order of time: rounds count litres, but nobody can carry half a
 * bag. A round takes the bag of which it needs a part; a later one needs that part less. So they add up to the lot.
 */
export function wholeBags(parts: readonly number[], bagParts: number): number[] {
  let sum = 0;
  return parts.map((one) => {
    const before = Math.ceil(sum / bagParts);
    sum += one;
    return Math.ceil(sum / bagParts) - before;
  });
}

/**
 * The lots there at a minute, by bath, the first to expire on top: ready, not expired, not yet sent out. Bags that
 * leave with the round at that very minute still count (they are to be picked then).
 */
export function stockBoard(problem: Problem, covered: Cover, minute: number): BathStock[] {
  return problem.baths.map((bath, number) => {
    const rows = covered.lots
      .map((lot, index) => ({ lot, index }))
      .filter(({ lot }) => lot.bath === number && lot.ready <= minute && lot.expires > minute)
      .sort((a, b) => firstToExpire(a.lot, b.lot))
      .map(({ lot, index }) => {
        const servings = covered.servings
          .filter((serving) => serving.lot === index)
          .sort((a, b) => a.round - b.round);
        const taken = wholeBags(
          servings.map(({ parts }) => parts),
          lot.bagParts,
        );
        const promised = servings
          .map(({ round }, place) => ({ at: problem.rounds[round]!.at, bags: taken[place]! }))
          .filter(({ at, bags }) => at >= minute && bags > 0);
        // The opened bag left with the last round that took a part of it.
        const free = Math.floor(covered.left[index]! / lot.bagParts);
        return {
          lot: lot.id,
          origin: lot.origin,
          bags: free + promised.reduce((sum, { bags }) => sum + bags, 0),
          litres: lot.bagParts / problem.partsPerLitre,
          ready: lot.ready,
          expires: lot.expires,
          promised,
          free,
        };
      })
      .filter(({ bags }) => bags > 0);
    return {
      bath,
      rows,
      bags: rows.reduce((sum, row) => sum + row.bags, 0),
      litres: rows.reduce((sum, row) => sum + row.bags * row.litres, 0),
    };
  });
}
