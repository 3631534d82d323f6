import type { Demand } from '../../demand/demand.ts';
import { firstToExpire } from '../../plan/cover.ts';
import { MINUTES_A_DAY, type Problem } from '../../scenario/problem/types.ts';

import { type Occupancy, STRIDE } from './occupancy.ts';
import { FILL, NEVER } from './work.ts';

/**
 * Technician minutes for a litre when lines are weighed as a place to search on from: more than making it costs, little
 * enough that a few missing bags do not drive out lines that need far less work.
 */
export const LITRE = 5;
/**
 * A bag wanting in the reserve, in missing litres of the exchange rate: less than a missing one, but about as dear as
 * making it even where a litre is cheapest, or a search wanders far from plans that keep the reserve.
 */
const RESERVE_BAG = 5;
const EXPIRED_BAG = 0.01;
/**
 * An hour less in which to find help for a missing litre, in missing litres: enough that shortages move to later rounds,
 * little enough that no litre more is missed for it.
 */
const LITRE_HOUR = 0.001;

/** What a schedule is worth: the score in whole parts. */
export interface Worth {
  readonly unmetParts: number;
  /** Unmet parts, each times the minutes from its round to the end. */
  readonly unmetPartMinutes: number;
  /** Short of the reserve, and of the stock wanted after the bag rounds. */
  readonly reserveShortParts: number;
  readonly handsOn: number;
  readonly expiredBags: number;
}

/** Whether a schedule is better than another one, in the order of the score. */
export const isBetter = (a: Worth, b: Worth): boolean => {
  if (a.unmetParts !== b.unmetParts) return a.unmetParts < b.unmetParts;
  if (Math.abs(a.unmetPartMinutes - b.unmetPartMinutes) > 1e-6)
    return a.unmetPartMinutes < b.unmetPartMinutes;
  if (Math.abs(a.reserveShortParts - b.reserveShortParts) > 1e-6)
    return a.reserveShortParts < b.reserveShortParts;
  if (a.handsOn !== b.handsOn) return a.handsOn < b.handsOn;
  return a.expiredBags < b.expiredBags - 1e-9;
};

/** A judgement as far as it had got at some moment of a dispatch, to go on from later. */
export interface Judged {
  readonly scanned: number;
  readonly round: number;
  readonly unmetParts: number;
  readonly unmetPartMinutes: number;
  readonly stockShortParts: number;
  readonly unmet: Float64Array;
  readonly spare: Float64Array;
  readonly pending: readonly number[];
  readonly baths: readonly {
    readonly head: number;
    readonly op: Int32Array;
    readonly end: Int32Array;
    readonly parts: Float64Array;
    readonly left: Float64Array;
  }[];
}

/** What the judgement knows of one bath: stock and deliveries, and its fills by their end. */
interface Shelf {
  readonly ready: readonly number[];
  readonly expires: readonly number[];
  readonly stocked: readonly number[];
  readonly bag: readonly number[];
  /** Parts left of each lot of stock, and of each fill. */
  readonly left: Float64Array;
  parts: Float64Array;
  end: Int32Array;
  op: Int32Array;
  size: number;
  /** Fills before this one are used up or expired. */
  head: number;
}

/**
 * Judges a dispatch as the score does (`cover.ts`), in typed arrays made once: the second half of the hot loop. It can
 * follow a dispatch round by round, since what ends later serves no round before. Fills that serve nothing are counted
 * as if they were left out, and named in `useless`.
 */
export class Evaluator implements Worth {
  /** What the search trades a missing litre for, technician minutes. */
  litre = LITRE;
  /** Of the rounds judged so far. */
  unmetParts = 0;
  unmetPartMinutes = 0;
  reserveShortParts = 0;
  handsOn = 0;
  expiredBags = 0;
  /** Parts unserved, [bath x rounds + round]. */
  readonly unmet: Float64Array;
  /** Operations (fills) that nobody needs. */
  readonly useless: number[] = [];
  private readonly problem: Problem;
  private readonly need: Float64Array;
  private readonly shelves: Shelf[];
  private readonly fillParts: Float64Array;
  /** Parts in stock after each round beyond those wanted, [bath x rounds + round]; only of baths of which some are wanted. */
  readonly spare: Float64Array;
  stockShortParts = 0;
  /** Operations looked at, and those of them that may still end at another minute. */
  private scanned = 0;
  private readonly pending: number[] = [];
  /** First round not judged yet. */
  private round = 0;

  constructor(problem: Problem, demand: Demand) {
    this.problem = problem;
    const { baths, rounds, lots, machines, bagParts } = problem;
    this.need = new Float64Array(baths.length * rounds.length);
    this.unmet = new Float64Array(this.need.length);
    this.spare = new Float64Array(this.need.length);
    demand.bags.forEach((byRound, b) => {
      byRound.forEach((bags, r) => {
        this.need[b * rounds.length + r] = bags * bagParts;
      });
    });
    const room = 256;
    this.shelves = baths.map((_, b) => {
      const mine = lots.filter((lot) => lot.bath === b && lot.bags > 0).sort(firstToExpire);
      return {
        ready: mine.map((lot) => lot.ready),
        expires: mine.map((lot) => lot.expires),
        stocked: mine.map((lot) => lot.bags * lot.bagParts),
        bag: mine.map((lot) => lot.bagParts),
        left: new Float64Array(mine.length),
        parts: new Float64Array(room),
        end: new Int32Array(room),
        op: new Int32Array(room),
        size: 0,
        head: 0,
      };
    });
    this.fillParts = Float64Array.from(machines, (m) => m.usable * bagParts);
  }

  /** Begins a judgement, from the start or from where one stood. */
  begin(from: Judged | null): void {
    this.scanned = from?.scanned ?? 0;
    this.round = from?.round ?? 0;
    this.unmetParts = from?.unmetParts ?? 0;
    this.unmetPartMinutes = from?.unmetPartMinutes ?? 0;
    this.stockShortParts = from?.stockShortParts ?? 0;
    this.pending.length = 0;
    if (from) {
      this.unmet.set(from.unmet);
      this.spare.set(from.spare);
      for (const op of from.pending) this.pending.push(op);
    }
    for (let b = 0; b < this.shelves.length; b++) {
      const shelf = this.shelves[b]!;
      const then = from?.baths[b];
      shelf.size = then?.op.length ?? 0;
      shelf.head = then?.head ?? 0;
      if (!then) {
        for (let i = 0; i < shelf.left.length; i++) shelf.left[i] = shelf.stocked[i]!;
        continue;
      }
      while (shelf.size > shelf.end.length) grow(shelf);
      shelf.op.set(then.op);
      shelf.end.set(then.end);
      shelf.parts.set(then.parts);
      shelf.left.set(then.left);
    }
  }

  /** A copy of the judgement so far. */
  capture(): Judged {
    return {
      scanned: this.scanned,
      round: this.round,
      unmetParts: this.unmetParts,
      unmetPartMinutes: this.unmetPartMinutes,
      stockShortParts: this.stockShortParts,
      unmet: this.unmet.slice(),
      spare: this.spare.slice(),
      pending: this.pending.slice(),
      baths: this.shelves.map(({ head, op, end, parts, left, size }) => ({
        head,
        op: op.slice(0, size),
        end: end.slice(0, size),
        parts: parts.slice(0, size),
        left: left.slice(),
      })),
    };
  }

  /** Minute of the first round not judged yet, NEVER after the last one. */
  get nextRound(): number {
    return this.problem.rounds[this.round]?.at ?? NEVER;
  }

  /** Judges the rounds before minute `until`, before which nothing that is booked from now on will end. */
  follow(held: Occupancy, until: number): void {
    this.gather(held, until);
    const { rounds } = this.problem;
    for (; this.round < rounds.length && rounds[this.round]!.at < until; this.round++)
      for (let b = 0; b < this.shelves.length; b++) {
        if (this.problem.rules.releaseAfterTest) this.serveReleased(b, this.round, held);
        else this.serve(b, this.round);
        if (this.problem.minStock[b]! > 0) this.countStock(b, this.round, held);
      }
  }

  /** Judges the rest of what is booked; the answers stand in the fields. Returns one number to compare by (see `price`). */
  judge(held: Occupancy): number {
    const { problem } = this;
    this.follow(held, NEVER);
    this.reserveShortParts = this.stockShortParts;
    this.expiredBags = 0;
    this.useless.length = 0;
    for (let b = 0; b < this.shelves.length; b++) this.close(b, held);
    const { rules } = problem;
    const each = rules.swapMinutes * rules.hands.swap + rules.fillStartMinutes;
    this.handsOn = held.handsOn - this.useless.length * each;
    return this.price(this);
  }

  /** What the rounds judged so far miss, of needs and of the stock wanted, in missing litres of the exchange rate: it only grows. */
  get missed(): number {
    const { partsPerLitre, bagParts } = this.problem;
    return this.unmetParts / partsPerLitre + (this.stockShortParts / bagParts) * RESERVE_BAG;
  }

  /** What a judgement comes to when a missing litre counts so many technician minutes. */
  price(
    { handsOn, unmetParts, unmetPartMinutes, reserveShortParts, expiredBags }: Worth,
    litre = this.litre,
  ): number {
    const { partsPerLitre, bagParts } = this.problem;
    return (
      handsOn +
      ((unmetParts + (unmetPartMinutes / 60) * LITRE_HOUR) / partsPerLitre) * litre +
      (reserveShortParts / bagParts) * RESERVE_BAG * litre +
      expiredBags * EXPIRED_BAG
    );
  }

  /** Puts fills that ended before `until` on their shelves; the end of the others may still be put off. */
  private gather({ ops, count }: Occupancy, until: number): void {
    const { pending } = this;
    let kept = 0;
    for (const op of pending)
      if (ops[op * STRIDE + 4]! < until) this.put(ops, op);
      else pending[kept++] = op;
    pending.length = kept;
    for (; this.scanned < count; this.scanned++) {
      const at = this.scanned * STRIDE;
      if (ops[at] !== FILL) continue;
      if (ops[at + 4]! < until) this.put(ops, this.scanned);
      else pending.push(this.scanned);
    }
  }

  private put(ops: Int32Array, operation: number): void {
    const at = operation * STRIDE;
    const shelf = this.shelves[ops[at + 2]!]!;
    if (shelf.size === shelf.end.length) grow(shelf);
    const { end, op, parts } = shelf;
    const e = ops[at + 4]!;
    let n = shelf.size++;
    for (; n > 0 && end[n - 1]! > e; n--) {
      end[n] = end[n - 1]!;
      op[n] = op[n - 1]!;
      parts[n] = parts[n - 1]!;
    }
    end[n] = e;
    op[n] = operation;
    parts[n] = this.fillParts[ops[at + 1]!]!;
  }

  private serve(b: number, r: number): void {
    const { rounds, rules } = this.problem;
    const afterFill = rules.swapMinutes + rules.releaseMinutes;
    const { shelf: keeps } = rules;
    const shelf = this.shelves[b]!;
    const { end, parts, left, ready, expires, size } = shelf;
    const { at, to } = rounds[r]!;
    const index = b * rounds.length + r;
    let wanted = this.need[index]!;
    let fill = shelf.head;
    let lot = 0;
    while (wanted > 0) {
      while (fill < size && (parts[fill] === 0 || end[fill]! + keeps < to)) fill++;
      while (lot < left.length && (left[lot] === 0 || ready[lot]! > at || expires[lot]! < to)) lot++;
      const hasFill = fill < size && end[fill]! + afterFill <= at;
      if (!hasFill && lot >= left.length) break;
      const fillFirst =
        hasFill &&
        (lot >= left.length ||
          end[fill]! + keeps < expires[lot]! ||
          (end[fill]! + keeps === expires[lot]! && end[fill]! + afterFill < ready[lot]!));
      const from = fillFirst ? parts : left;
      const which = fillFirst ? fill : lot;
      const taken = Math.min(wanted, from[which]!);
      from[which]! -= taken;
      wanted -= taken;
    }
    let { head } = shelf;
    while (head < size && (parts[head] === 0 || end[head]! + keeps < to)) head++;
    shelf.head = head;
    this.note(index, wanted, at);
  }

  private note(index: number, unmet: number, at: number): void {
    this.unmet[index] = unmet;
    this.unmetParts += unmet;
    this.unmetPartMinutes += unmet * (this.problem.horizon - at);
  }

  /** When the bags of a fill may leave. */
  private readyAt(operation: number, held: Occupancy): number {
    const { rules, machines } = this.problem;
    const at = operation * STRIDE;
    const end = held.ops[at + 4]!;
    const ready = end + rules.swapMinutes + rules.releaseMinutes;
    if (!rules.releaseAfterTest) return ready;
    return Math.max(ready, held.tests.releaseOf(machines[held.ops[at + 1]!]!.water, end));
  }

  /** The same as `serve` where bags wait for a test, so that what expires first is not always ready first. */
  private serveReleased(b: number, r: number, held: Occupancy): void {
    const { rounds, rules } = this.problem;
    const shelf = this.shelves[b]!;
    const { end, op, parts, left, ready, expires, size } = shelf;
    const { at, to } = rounds[r]!;
    const index = b * rounds.length + r;
    let wanted = this.need[index]!;
    let lot = 0;
    for (let fill = shelf.head; wanted > 0; ) {
      const good = end[fill]! + rules.shelf;
      while (lot < left.length && (left[lot] === 0 || ready[lot]! > at || expires[lot]! < to)) lot++;
      if (fill < size && (parts[fill] === 0 || good < to || this.readyAt(op[fill]!, held) > at)) {
        fill++;
        continue;
      }
      if (fill >= size && lot >= left.length) break;
      const fillFirst =
        fill < size &&
        (lot >= left.length ||
          good < expires[lot]! ||
          (good === expires[lot]! && this.readyAt(op[fill]!, held) < ready[lot]!));
      const from = fillFirst ? parts : left;
      const which = fillFirst ? fill : lot;
      const taken = Math.min(wanted, from[which]!);
      from[which]! -= taken;
      wanted -= taken;
    }
    let { head } = shelf;
    while (head < size && (parts[head] === 0 || end[head]! + rules.shelf < to)) head++;
    shelf.head = head;
    this.note(index, wanted, at);
  }

  /** After a round: what is left that the next one could take, against the stock wanted. */
  private countStock(b: number, r: number, held: Occupancy): void {
    const { rounds, rules, minStock, bagParts, horizon } = this.problem;
    const { end, op, parts, left, ready, expires, size, head } = this.shelves[b]!;
    const { at } = rounds[r]!;
    const until = rounds[r + 1]?.to ?? horizon;
    let spare = -minStock[b]! * bagParts;
    for (let i = 0; i < left.length; i++) if (ready[i]! <= at && expires[i]! >= until) spare += left[i]!;
    const lastEnd = at - rules.swapMinutes - rules.releaseMinutes;
    const waits = rules.releaseAfterTest;
    // By end: what ends too late is followed by nothing that is ready.
    for (let i = head; i < size && end[i]! <= lastEnd; i++)
      if (parts[i]! > 0 && end[i]! + rules.shelf >= until && (!waits || this.readyAt(op[i]!, held) <= at))
        spare += parts[i]!;
    this.spare[b * rounds.length + r] = spare;
    if (spare < 0) this.stockShortParts -= spare;
  }

  /** Whether a fill that served nobody could go without making the stock after a round shorter; then it is taken out of it. */
  private stockSpares(b: number, whole: number, ready: number, expiry: number): boolean {
    const { rounds, minStock, horizon } = this.problem;
    if (minStock[b] === 0) return true;
    // Rounds it counts after: from the first at which it is ready to the last for whose successor it is good.
    let from = 0;
    while (from < rounds.length && rounds[from]!.at < ready) from++;
    let to = from;
    for (; to < rounds.length && (rounds[to + 1]?.to ?? horizon) <= expiry; to++)
      if (this.spare[b * rounds.length + to]! < whole) return false;
    for (let r = from; r < to; r++) this.spare[b * rounds.length + r]! -= whole;
    return true;
  }

  /** After the last round: what is left for the reserve, what expired, and what nobody needed. */
  private close(b: number, held: Occupancy): void {
    const { horizon, rules, bagParts, now } = this.problem;
    const { ops, historyCount } = held;
    const shelf = this.shelves[b]!;
    const { end, parts, op, left, ready, expires, bag, size } = shelf;
    const good = horizon + MINUTES_A_DAY;
    let reserve = this.problem.reserve[b]! * bagParts;
    for (let i = 0; i < left.length; i++) {
      if (ready[i]! <= horizon && expires[i]! >= good) reserve -= left[i]!;
      if (expires[i]! > now && expires[i]! <= horizon) this.expiredBags += left[i]! / bag[i]!;
    }
    for (let i = 0; i < size; i++) {
      const expiry = end[i]! + rules.shelf;
      const ready = this.readyAt(op[i]!, held);
      const serves = ready <= horizon && expiry >= good;
      const whole = this.fillParts[ops[op[i]! * STRIDE + 1]!]!;
      const idle = parts[i] === whole && (!serves || reserve <= 0) && op[i]! >= historyCount;
      if (idle && this.stockSpares(b, whole, ready, expiry)) this.useless.push(op[i]!);
      else {
        if (serves) reserve -= parts[i]!;
        if (expiry <= horizon) this.expiredBags += parts[i]! / bagParts;
      }
    }
    if (reserve > 0) this.reserveShortParts += reserve;
  }
}

function grow(shelf: Shelf): void {
  const longer = <T extends Int32Array | Float64Array>(old: T, made: T): T => {
    made.set(old);
    return made;
  };
  const room = shelf.end.length * 2;
  shelf.end = longer(shelf.end, new Int32Array(room));
  shelf.op = longer(shelf.op, new Int32Array(room));
  shelf.parts = longer(shelf.parts, new Float64Array(room));
}
