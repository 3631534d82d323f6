import type { Demand } from '../demand/demand.ts';
import { firstToExpire } from '../plan/cover.ts';
import { MINUTES_A_DAY, type Problem } from '../scenario/problem.ts';
import { FILL, STRIDE } from './book.ts';
import type { Dispatcher } from './dispatch.ts';

/**
 * Technician minutes for a litre when lines are weighed as a place to search on from: more than making it costs, little
 * enough that a few missing bags do not drive out lines that need far less work.
 */
export const LITRE = 5;
/** A bag wanting in the reserve, in missing litres of the exchange rate: less than a missing one, dearer than making it. */
const RESERVE_BAG = 2.5;
const EXPIRED_BAG = 0.01;

/** What a schedule is worth: the score in whole parts. */
export interface Worth {
  readonly unmetParts: number;
  readonly reserveShortParts: number;
  readonly handsOn: number;
  readonly expiredBags: number;
}

/**
 * Judges a dispatch as the score does (`cover.ts`), in typed arrays made once: the second half of the hot loop. Fills
 * that serve nothing are counted as if they were left out, and named in `useless`.
 */
export class Evaluator implements Worth {
  /** What the search trades a missing litre for, technician minutes. */
  litre = LITRE;
  unmetParts = 0;
  reserveShortParts = 0;
  handsOn = 0;
  expiredBags = 0;
  /** Parts unserved, [bath x rounds + round]. */
  readonly unmet: Float64Array;
  /** Operations (fills) that nobody needs. */
  readonly useless: number[] = [];
  private readonly problem: Problem;
  private history = 0;
  private readonly need: Float64Array;
  private readonly stock: {
    ready: number[];
    expires: number[];
    parts: number[];
    bag: number[];
    left: Float64Array;
  }[];
  private end: Int32Array[];
  private parts: Float64Array[];
  private whole: Float64Array[];
  private op: Int32Array[];
  private readonly size: Int32Array;
  private readonly fillParts: Float64Array;

  constructor(problem: Problem, demand: Demand) {
    this.problem = problem;
    const { baths, rounds, lots, machines, bagParts } = problem;
    this.need = new Float64Array(baths.length * rounds.length);
    this.unmet = new Float64Array(this.need.length);
    demand.bags.forEach((byRound, b) => {
      byRound.forEach((bags, r) => {
        this.need[b * rounds.length + r] = bags * bagParts;
      });
    });
    this.stock = baths.map((_, b) => {
      const mine = lots.filter((lot) => lot.bath === b && lot.bags > 0).sort(firstToExpire);
      return {
        ready: mine.map((lot) => lot.ready),
        expires: mine.map((lot) => lot.expires),
        parts: mine.map((lot) => lot.bags * lot.bagParts),
        bag: mine.map((lot) => lot.bagParts),
        left: new Float64Array(mine.length),
      };
    });
    const room = 256;
    this.end = baths.map(() => new Int32Array(room));
    this.op = baths.map(() => new Int32Array(room));
    this.parts = baths.map(() => new Float64Array(room));
    this.whole = baths.map(() => new Float64Array(room));
    this.size = new Int32Array(baths.length);
    this.fillParts = Float64Array.from(machines, (m) => m.positions * bagParts);
  }

  private gather({ ops, count }: Dispatcher): void {
    this.size.fill(0);
    for (let i = 0; i < count; i++) {
      const at = i * STRIDE;
      if (ops[at] !== FILL) continue;
      const b = ops[at + 2]!;
      let n = this.size[b]!;
      if (n === this.end[b]!.length) this.grow(b);
      const ends = this.end[b]!;
      const op = this.op[b]!;
      const e = ops[at + 4]!;
      while (n > 0 && ends[n - 1]! > e) {
        ends[n] = ends[n - 1]!;
        op[n] = op[n - 1]!;
        n--;
      }
      ends[n] = e;
      op[n] = i;
      this.size[b]! += 1;
    }
    for (let b = 0; b < this.size.length; b++)
      for (let n = 0; n < this.size[b]!; n++) {
        const parts = this.fillParts[ops[this.op[b]![n]! * STRIDE + 1]!]!;
        this.parts[b]![n] = parts;
        this.whole[b]![n] = parts;
      }
  }

  private grow(b: number): void {
    const longer = <T extends Int32Array | Float64Array>(old: T, made: T): T => {
      made.set(old);
      return made;
    };
    const room = this.end[b]!.length * 2;
    this.end[b] = longer(this.end[b]!, new Int32Array(room));
    this.op[b] = longer(this.op[b]!, new Int32Array(room));
    this.parts[b] = longer(this.parts[b]!, new Float64Array(room));
    this.whole[b] = longer(this.whole[b]!, new Float64Array(room));
  }

  /** Judges what the dispatcher holds; the answers stand in the fields. Returns one number to compare by (see `price`). */
  judge(dispatcher: Dispatcher): number {
    const { problem } = this;
    this.gather(dispatcher);
    this.history = dispatcher.historyCount;
    this.unmetParts = 0;
    this.reserveShortParts = 0;
    this.expiredBags = 0;
    this.useless.length = 0;
    for (let b = 0; b < this.size.length; b++) this.judgeBath(b);
    this.handsOn = dispatcher.handsOn - this.useless.length * problem.rules.swapMinutes;
    return this.price(this);
  }

  /** What a judgement comes to when a missing litre counts so many technician minutes. */
  price({ handsOn, unmetParts, reserveShortParts, expiredBags }: Worth, litre = this.litre): number {
    const { partsPerLitre, bagParts } = this.problem;
    return (
      handsOn +
      (unmetParts / partsPerLitre) * litre +
      (reserveShortParts / bagParts) * RESERVE_BAG * litre +
      expiredBags * EXPIRED_BAG
    );
  }

  private judgeBath(b: number): void {
    const { problem } = this;
    const { rounds, horizon, rules, bagParts } = problem;
    const afterFill = rules.swapMinutes + rules.releaseMinutes;
    const { shelf } = rules;
    const stock = this.stock[b]!;
    for (let i = 0; i < stock.left.length; i++) stock.left[i] = stock.parts[i]!;
    const ends = this.end[b]!;
    const parts = this.parts[b]!;
    const whole = this.whole[b]!;
    const op = this.op[b]!;
    const n = this.size[b]!;
    let head = 0;
    for (let r = 0; r < rounds.length; r++) {
      const { at, to } = rounds[r]!;
      const index = b * rounds.length + r;
      let wanted = this.need[index]!;
      let fill = head;
      let lot = 0;
      while (wanted > 0) {
        while (fill < n && (parts[fill] === 0 || ends[fill]! + shelf < to)) fill++;
        while (
          lot < stock.left.length &&
          (stock.left[lot] === 0 || stock.ready[lot]! > at || stock.expires[lot]! < to)
        )
          lot++;
        const hasFill = fill < n && ends[fill]! + afterFill <= at;
        if (!hasFill && lot >= stock.left.length) break;
        const fillFirst =
          hasFill &&
          (lot >= stock.left.length ||
            ends[fill]! + shelf < stock.expires[lot]! ||
            (ends[fill]! + shelf === stock.expires[lot]! && ends[fill]! + afterFill < stock.ready[lot]!));
        const from = fillFirst ? parts : stock.left;
        const which = fillFirst ? fill : lot;
        const taken = Math.min(wanted, from[which]!);
        from[which]! -= taken;
        wanted -= taken;
      }
      while (head < n && (parts[head] === 0 || ends[head]! + shelf < to)) head++;
      this.unmet[index] = wanted;
      this.unmetParts += wanted;
    }
    const good = horizon + MINUTES_A_DAY;
    let reserve = problem.reserve[b]! * bagParts;
    for (let i = 0; i < stock.left.length; i++) {
      const expires = stock.expires[i]!;
      if (stock.ready[i]! <= horizon && expires >= good) reserve -= stock.left[i]!;
      if (expires > 0 && expires <= horizon) this.expiredBags += stock.left[i]! / stock.bag[i]!;
    }
    for (let i = 0; i < n; i++) {
      const serves = ends[i]! + afterFill <= horizon && ends[i]! + shelf >= good;
      if (parts[i] === whole[i] && (!serves || reserve <= 0) && op[i]! >= this.history)
        this.useless.push(op[i]!);
      else {
        if (serves) reserve -= parts[i]!;
        if (ends[i]! + shelf <= horizon) this.expiredBags += parts[i]! / bagParts;
      }
    }
    if (reserve > 0) this.reserveShortParts += reserve;
  }
}
