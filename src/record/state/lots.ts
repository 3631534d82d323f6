/** Why bags are on hold, and since when. */
interface Hold {
  readonly cause:
    | 'test'
    | 'reading'
    | 'overfull'
    | 'too little'
    | 'no circuit'
    | 'circuit over'
    | 'end not noted'
    | 'cut off'
    | 'by hand';
  /** The entry that led to it; null: none did. */
  readonly entry: string | null;
  readonly at: number;
  /** UTC, ms: a release noted before it lifts nothing. */
  readonly noted: number;
  readonly why: string;
  /** All that is there, now and later; else so many bags. */
  readonly bags: number | 'all';
}
/** Bags that left for the bedside. */
export interface Left {
  readonly entry: string | null;
  readonly round: number | string;
  readonly at: number;
  readonly bags: number;
  readonly ward?: string;
  readonly bed?: string;
}
/** How a fill made a lot. Minutes from the scenario's start. */
export interface Made {
  readonly machine: string;
  readonly start: number;
  /** Bags off the machine; null: under way. */
  end: number | null;
  readonly fill: string;
  off: string | null;
  /** The set-up that it ran on; null: none is noted. */
  readonly circuit: string | null;
}
/** A lot of bags as the record leaves it. good + held + left + discarded = made, or `balance` is not 0. */
export interface LotState {
  readonly lot: string;
  readonly origin: 'stock' | 'delivery' | 'fill';
  /** null: nobody knows what runs on its machine. */
  readonly bath: string | null;
  /** L in a bag. */
  readonly litres: number;
  readonly made: number;
  readonly good: number;
  readonly held: number;
  readonly left: number;
  readonly discarded: number;
  /** made less all that is accounted for: 0, or the record is at odds with itself. */
  readonly balance: number;
  /** Difference found at the last count by hand: counted less the book; null: never counted. */
  readonly counted: number | null;
  /** Minute; null: not yet, or nobody knows when. Minus infinity: there from the start. */
  readonly ready: number | null;
  readonly expires: number | null;
  readonly holds: readonly Hold[];
  readonly leaves: readonly Left[];
  /** Bags discarded, and why. */
  readonly discards: readonly {
    readonly why: string;
    readonly bags: number;
    readonly at: number;
    readonly entry: string;
  }[];
  readonly fill: Made | null;
}

type Writable<T> = { -readonly [K in keyof T]: T[K] };
type Origin = Pick<LotState, 'lot' | 'origin' | 'bath' | 'litres' | 'made' | 'ready' | 'expires'>;

/** The book of one lot while the record is read. */
export class LotBook {
  readonly facts: Writable<Origin> & { fill: Made | null; releasedAt: number | null };
  private readonly holds: Hold[] = [];
  readonly leaves: Left[] = [];
  readonly discards: Writable<LotState['discards'][number]>[] = [];
  private counted: number | null = null;
  private difference = 0;
  private left = 0;
  private discarded = 0;

  constructor(origin: Origin, fill: Made | null = null) {
    this.facts = { ...origin, fill, releasedAt: null };
  }
  /** Bags by the book that are here. */
  get here(): number {
    return Math.max(0, this.facts.made + this.difference - this.left - this.discarded);
  }
  get held(): number {
    if (this.isDoubtful) return this.here;
    const some = this.holds.reduce((sum, { bags }) => sum + (bags as number), 0);
    return Math.min(this.here, some);
  }
  get good(): number {
    return this.here - this.held;
  }
  get isDoubtful(): boolean {
    return this.doubtfulHolds.length > 0;
  }
  /** Why all of it is in doubt, also what left. */
  get doubtfulHolds(): readonly Hold[] {
    return this.holds.filter(({ bags }) => bags === 'all');
  }
  hold(hold: Hold): void {
    this.holds.push(hold);
  }
  /**
   * Somebody released bags: what was held before it was noted is lifted; of a part the others stay on hold.
   * @param bags absent: all
   */
  release({
    at,
    noted,
    bags,
    entry,
  }: {
    at: number;
    noted: number;
    bags: number | null;
    entry: string;
  }): void {
    const before = this.held;
    const kept = this.holds.filter((hold) => hold.noted > noted);
    this.holds.splice(0, this.holds.length, ...kept);
    this.facts.releasedAt = at;
    const rest = bags == null ? 0 : Math.max(0, before - bags);
    this.hold({ cause: 'by hand', entry, at, noted, why: 'not among the bags released', bags: rest });
  }
  /** Bags on hold go first: what was put aside is what is thrown away. */
  discard(at: number, bags: number | null | undefined, why: string, entry: string): void {
    const gone = bags ?? this.here;
    this.discards.push({ at, bags: gone, why, entry });
    this.discarded += gone;
    let rest = gone;
    for (const [index, hold] of this.holds.entries()) {
      if (hold.bags === 'all') continue;
      const lifted = Math.min(hold.bags, rest);
      this.holds[index] = { ...hold, bags: hold.bags - lifted };
      rest -= lifted;
    }
  }
  leave(left: Left): void {
    this.leaves.push(left);
    this.left += left.bags;
  }
  count(bags: number): void {
    const off = bags - this.here;
    this.counted = off;
    this.difference += off;
  }
  /** The first bags of a delivery came: what was counted before is no longer known. @returns whether any was */
  came(facts: Omit<Origin, 'lot' | 'origin'>): boolean {
    const wasCounted = this.counted !== null;
    Object.assign(this.facts, facts);
    this.counted = null;
    this.difference = 0;
    return wasCounted;
  }
  state(): LotState {
    const { lot, origin, bath, litres, made, ready, expires, fill } = this.facts;
    const { here, held, left, discarded } = this;
    return {
      lot,
      origin,
      bath,
      litres,
      made,
      ready,
      expires,
      good: here - held,
      held,
      left,
      discarded,
      balance: made - here - left - discarded,
      counted: this.counted,
      holds: this.holds.filter(({ bags }) => bags !== 0),
      leaves: [...this.leaves],
      discards: [...this.discards],
      fill,
    };
  }
}
