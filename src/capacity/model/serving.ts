import type { Problem } from '../../scenario/problem/types.ts';
import { MACHINES, OPENING_STOCK, SUPPLIES } from './causes.ts';
import type { Lots } from './lots.ts';
import type { Ready } from './ready.ts';
import { type Shelf, shelfOf } from './shelf.ts';
import type { SupplyPlan } from './supplies.ts';

export interface Outcome {
  /** Bags (of fillLitres) that no lot serves, all baths and rounds; fractions where smaller bags serve. */
  bagsShort: number;
  /** Of these, bags that only stock there at the start could have served. */
  openingShort: number;
  /** Index into CAUSES; -1: nothing is short. */
  cause: number;
  /** First round that is short; -1: none. */
  round: number;
}
export const emptyOutcome = (): Outcome => ({ bagsShort: 0, openingShort: 0, cause: -1, round: -1 });

/** Bags below which nothing is wanted or short: sums of parts are not exact. */
export const EPSILON = 1e-6;

/** Serves the rounds in order of time from what machines have ready, whole fills at a time. */
export class Serving {
  readonly outcome = emptyOutcome();
  readonly #ready: Ready;
  readonly #lots: Lots;
  readonly #supplies: SupplyPlan;
  readonly #shelf: Shelf;
  readonly #rounds: number;
  readonly #baths: number;
  /** Kinds of machines for each bath; the ones that can run fewest baths are used first. */
  readonly #kindsOfBath: readonly (readonly number[])[];
  /** Bags in the smallest fill of each kind. */
  readonly #grain: readonly number[];
  /** Bags not yet taken, [kind x rounds + round], and the first round of which some may be left, [kind]. */
  readonly #rest: Float64Array;
  readonly #pointer: Int32Array;
  /** Bags that the round at hand took of the oldest that are still good for it, [kind]: all baths share these. */
  readonly #ofOldest: Float64Array;
  /** Bags of the last fill beyond its round, [bath]. */
  readonly #surplus: Float64Array;
  #made = 0;
  readonly #madeOfBath: Float64Array;
  /** What the bags at hand lack. */
  #lacked = 0;

  constructor(
    problem: Problem,
    { ready, lots, supplies }: { ready: Ready; lots: Lots; supplies: SupplyPlan },
  ) {
    const { kinds, kindOf, machines } = ready;
    this.#ready = ready;
    this.#lots = lots;
    this.#supplies = supplies;
    this.#shelf = shelfOf(problem, ready.deadlines);
    this.#rounds = problem.rounds.length;
    this.#baths = problem.baths.length;
    const byFlexibility = kinds.map((_, kind) => kind).sort((a, b) => kinds[a]!.length - kinds[b]!.length);
    this.#kindsOfBath = problem.baths.map((_, bath) =>
      byFlexibility.filter((kind) => kinds[kind]!.includes(bath)),
    );
    this.#grain = kinds.map((_, kind) =>
      Math.max(1, Math.min(...machines.filter((_, m) => kindOf[m] === kind).map(({ usable }) => usable))),
    );
    this.#rest = new Float64Array(kinds.length * this.#rounds);
    this.#pointer = new Int32Array(kinds.length);
    this.#ofOldest = new Float64Array(kinds.length);
    this.#surplus = new Float64Array(this.#baths);
    this.#madeOfBath = new Float64Array(this.#baths);
  }

  /**
   * Serves all rounds. What comes of it stands in `outcome`.
   * @param need bags, [bath x rounds + round]
   * @param lotsLast take lots for what machines leave, where `need` counts them
   */
  serve(need: ArrayLike<number>, lotsLast: boolean): void {
    const { outcome } = this;
    this.#made = 0;
    this.#pointer.fill(1);
    this.#rest.set(this.#ready.bags);
    this.#surplus.fill(0);
    this.#madeOfBath.fill(0);
    Object.assign(outcome, NOTHING_SHORT);
    for (let r = 0; r < this.#rounds; r++) {
      this.#ofOldest.fill(0);
      for (let bath = 0; bath < this.#baths; bath++) {
        const wanted = this.#afterFills(bath, r, need[bath * this.#rounds + r]!);
        const short = wanted > EPSILON && lotsLast ? this.#lots.take(bath, r, wanted) : wanted;
        if (short > EPSILON) this.#note(r, short);
        else if (-short > this.#surplus[bath]!) this.#surplus[bath] = -short;
      }
    }
  }

  /** Bags still wanted after what fills bring; below 0: the last fill held so many more. */
  #afterFills(bath: number, r: number, need: number): number {
    // What a fill held beyond its round is still good for the next one, unless bags are hardly good for one.
    const over = this.#shelf.from[r]! >= r ? 0 : this.#surplus[bath]!;
    let wanted = need - over;
    this.#surplus[bath] = wanted < 0 ? -wanted : 0;
    if (wanted <= EPSILON) return 0;
    this.#lacked = r === 0 ? OPENING_STOCK : MACHINES;
    const able = this.#kindsOfBath[bath]!;
    for (let n = 0; r > 0 && n < able.length && wanted > EPSILON; n++) {
      const kind = able[n]!;
      const got = this.#take(kind, r, this.#order(bath, r, { kind, wanted }));
      this.#made += got;
      this.#madeOfBath[bath]! += got;
      wanted -= got;
    }
    return wanted;
  }

  /** Bags to fill: whole fills, as many as supplies allow. */
  #order(bath: number, r: number, { kind, wanted }: { kind: number; wanted: number }): number {
    const size = this.#grain[kind]!;
    const order = Math.ceil((wanted - EPSILON) / size) * size;
    const { all, ofBath } = this.#supplies;
    const allowed = Math.min(all[r]! - this.#made, ofBath[bath]![r]! - this.#madeOfBath[bath]!);
    if (order <= allowed) return order;
    this.#lacked = SUPPLIES;
    return Math.max(0, Math.floor((allowed + EPSILON) / size) * size);
  }

  /** Bags of one kind of machine for a round, whole fills of them, the oldest that are still good first. */
  #take(kind: number, r: number, order: number): number {
    const oldest = this.#shelf.from[r]!;
    const row = kind * this.#rounds;
    let got = 0;
    let first = Math.max(this.#pointer[kind]!, oldest);
    for (let j = first; j <= r && got < order - EPSILON; j++) {
      const there = this.#rest[row + j]!;
      let part = Math.min(order - got, there);
      if (j === oldest) {
        const good = this.#shelf.part[r]! * this.#ready.bags[row + j]! - this.#ofOldest[kind]!;
        part = Math.max(0, Math.min(part, good));
        this.#ofOldest[kind]! += part;
      }
      this.#rest[row + j] = there - part;
      got += part;
      if (there - part <= EPSILON && j === first) first = j + 1;
    }
    this.#pointer[kind] = first;
    return got;
  }

  /** Bags of a round stay short. */
  #note(r: number, short: number): void {
    const { outcome } = this;
    outcome.bagsShort += short;
    if (r === 0) outcome.openingShort += short;
    if (outcome.round >= 0) return;
    outcome.round = r;
    outcome.cause = this.#lacked === MACHINES ? this.#ready.held[r]! || MACHINES : this.#lacked;
  }
}

const NOTHING_SHORT: Readonly<Outcome> = emptyOutcome();
