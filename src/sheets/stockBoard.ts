import type { Cover } from '../plan/cover.ts';
import { firstToExpire } from '../plan/cover.ts';
import type { Problem } from '../scenario/problem.ts';

/** One lot on the board: what should lie there at the board's minute, and what for. */
export interface StockRow {
  readonly lot: string;
  readonly origin: 'stock' | 'delivery' | 'fill';
  /** The lot's own bags there then; fractions where rounds took part of a bag's litres. */
  readonly bags: number;
  /** Litres of one bag. */
  readonly litres: number;
  readonly ready: number;
  readonly expires: number;
  /** Bags promised to rounds after the minute. */
  readonly promised: readonly { readonly at: number; readonly bags: number }[];
  /** Bags that no round takes. */
  readonly free: number;
}
export interface BathStock {
  readonly bath: string;
  readonly rows: readonly StockRow[];
  readonly bags: number;
  readonly litres: number;
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
        const promised = covered.servings
          .filter((serving) => serving.lot === index && problem.rounds[serving.round]!.at >= minute)
          .map(({ round, parts }) => ({ at: problem.rounds[round]!.at, bags: parts / lot.bagParts }));
        const free = covered.left[index]! / lot.bagParts;
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
