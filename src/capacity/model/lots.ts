import { firstToExpire } from '../../plan/cover.ts';
import type { Problem } from '../../scenario/problem/types.ts';

/** Stock and deliveries, in bags of fillLitres, taken in the order of cover: first the lot that expires first. */
export class Lots {
  readonly count: number;
  readonly #rounds: Problem['rounds'];
  readonly #lots: readonly { readonly amount: number; readonly ready: number; readonly expires: number }[];
  readonly #ofBath: readonly (readonly number[])[];
  readonly #left: Float64Array;

  constructor({ lots, bagParts, baths, rounds }: Problem) {
    const sorted = lots
      .map((lot) => ({ ...lot, amount: (lot.bags * lot.bagParts) / bagParts }))
      .filter(({ amount }) => amount > 0)
      .sort(firstToExpire);
    this.count = sorted.length;
    this.#rounds = rounds;
    this.#lots = sorted;
    this.#ofBath = baths.map((_, bath) => sorted.flatMap((lot, n) => (lot.bath === bath ? [n] : [])));
    this.#left = new Float64Array(sorted.length);
  }

  /** All lots are whole again. */
  refill(): void {
    for (let n = 0; n < this.#left.length; n++) this.#left[n] = this.#lots[n]!.amount;
  }

  /** Takes bags for a round. @returns those wanted that no lot serves */
  take(bath: number, round: number, wanted: number): number {
    let rest = wanted;
    const { at, to } = this.#rounds[round]!;
    const mine = this.#ofBath[bath]!;
    for (let i = 0; i < mine.length; i++) {
      if (rest <= 0) break;
      const n = mine[i]!;
      const lot = this.#lots[n]!;
      if (this.#left[n]! <= 0 || lot.ready > at || lot.expires < to) continue;
      const taken = Math.min(rest, this.#left[n]!);
      this.#left[n]! -= taken;
      rest -= taken;
    }
    return rest;
  }
}
