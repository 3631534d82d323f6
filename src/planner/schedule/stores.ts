import type { Problem } from '../../scenario/problem/types.ts';
import { CIRCUIT, FILL, NEVER, type Work } from './work.ts';

/** Supplies: what each kind of work takes of them, and what is left. */
export class Stores {
  private readonly problem: Problem;
  /** Supplies that work draws on, [kind][bath + 1]; first those of a bath that is in the list no more. */
  private readonly draws: readonly (readonly (readonly number[])[])[];
  /** Minutes from which a delivery counts, 0 first, and where those of a supply begin in `left`, by supply. */
  private readonly from: readonly (readonly number[])[];
  private readonly at: readonly number[];
  /** All that is there at the end as long as nothing is used, by supply. */
  private readonly whole: readonly number[];
  /** What will be left when the next delivery comes, or at the end, supply after supply. */
  readonly left: Float64Array;

  constructor(problem: Problem) {
    this.problem = problem;
    const { supplies, horizon, baths } = problem;
    this.draws = [0, 1, FILL].map((kind) =>
      [-1, ...baths.keys()].map((b) =>
        supplies.flatMap(({ bath, perMinute }, i) => {
          const mine = bath === null || bath === b;
          return mine && (this.once(i, kind) > 0 || perMinute.some((each) => each > 0)) ? [i] : [];
        }),
      ),
    );
    this.from = supplies.map(({ deliveries }) => {
      const later = new Set(deliveries.flatMap(({ at }) => (at > 0 && at < horizon ? [at] : [])));
      return [0, ...[...later].sort((a, b) => a - b)];
    });
    const there = supplies.map(({ onHand, deliveries }, i) =>
      this.from[i]!.map((by) =>
        deliveries.reduce((sum, { at, quantity }) => (at <= by ? sum + quantity : sum), onHand),
      ),
    );
    let begin = 0;
    this.at = this.from.map(({ length }) => {
      begin += length;
      return begin - length;
    });
    this.whole = there.map((list) => list.at(-1)!);
    this.left = Float64Array.from(there.flat());
  }

  private once(i: number, kind: number): number {
    const { perCircuit, perFill } = this.problem.supplies[i]!;
    return kind === CIRCUIT ? perCircuit : kind === FILL ? perFill : 0;
  }

  /** What work takes of a supply that it draws on. */
  private amount(i: number, machine: number, kind: number, length: number): number {
    return this.once(i, kind) + this.problem.supplies[i]!.perMinute[machine]! * length;
  }

  /** All that is used of a supply. */
  used(i: number): number {
    const last = this.at[i]! + this.from[i]!.length - 1;
    return this.whole[i]! - this.left[last]!;
  }

  /** Takes what work in start..end-1 uses (sign 1), or gives it back (-1). */
  take({ kind, place, bath }: Work, start: number, end: number, sign: number): void {
    const { left } = this;
    for (const i of this.draws[kind]![bath + 1]!) {
      const amount = sign * this.amount(i, place, kind, end - start);
      const from = this.from[i]!;
      for (let n = from.length - 1; n >= 0; n--) {
        left[this.at[i]! + n]! -= amount;
        if (from[n]! <= start) break;
      }
    }
  }

  /**
   * First minute from `s` on at which the supplies for work are there, NEVER when they run out before; as if all that is
   * used so far were used by then.
   */
  there({ kind, place, bath }: Work, length: number, s: number): number {
    const { supplies } = this.problem;
    let from = s;
    for (const i of this.draws[kind]![bath + 1]!) {
      const wanted = this.amount(i, place, kind, length);
      const { onHand, deliveries } = supplies[i]!;
      let there = onHand - this.used(i) - wanted;
      if (there >= 0 || wanted === 0) continue;
      for (const { at, quantity } of deliveries) {
        if (there >= 0 && at > from) break;
        there += quantity;
        if (at > from && there >= 0) from = at;
      }
      if (there < 0) return NEVER;
    }
    return from;
  }

  /** `s`, when supplies for work are there at `s` and nothing booked for later lacks them then; else the next delivery; NEVER: none. */
  spared({ kind, place, bath }: Work, length: number, s: number): number {
    let from = s;
    this.problem.supplies.forEach(({ deliveries }, i) => {
      const wanted = this.draws[kind]![bath + 1]!.includes(i) ? this.amount(i, place, kind, length) : 0;
      if (this.spareFrom(i, s) < wanted)
        from = Math.max(from, deliveries.find(({ at }) => at > s)?.at ?? NEVER);
    });
    return from;
  }

  /** The least that will be left of a supply from a minute on: what is spent later cannot be spent before. */
  private spareFrom(i: number, start: number): number {
    const from = this.from[i]!;
    let least = Number.POSITIVE_INFINITY;
    for (let n = from.length - 1; n >= 0; n--) {
      least = Math.min(least, this.left[this.at[i]! + n]!);
      if (from[n]! <= start) break;
    }
    return least;
  }

  /** Whether work may take so many minutes more than it is booked for. */
  lasts({ kind, place, bath }: Work, length: number, longer: number): boolean {
    return this.draws[kind]![bath + 1]!.every((i) => {
      const more = this.amount(i, place, kind, longer) - this.amount(i, place, kind, length);
      return more <= 0 || this.problem.supplies[i]!.onHand - this.used(i) >= more;
    });
  }
}
