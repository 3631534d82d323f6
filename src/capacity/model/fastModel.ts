import { firstToExpire } from '../../plan/cover.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Draw } from '../draws/draw.ts';
import { MACHINES, readyBags } from './ready.ts';
import { type SupplyPlan, supplyPlanOf } from './supplies.ts';

/** What the first missing bag of a draw lacked. */
export const CAUSES = ['opening stock', 'supplies', 'technicians', 'water', 'machines'] as const;
export type Cause = (typeof CAUSES)[number];

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

const EPSILON = 1e-6;
/** Share of the bags asked for below which a draw counts as nearly served. */
const NEARLY = 0.1;

/**
 * Whether machines, technicians, water and supplies can have ready what one draw needs, without making a plan: the
 * bags each machine can have ready for each round, less what technicians and water hold up, serve the rounds in order
 * of time, whole fills at a time. Built once a site; `judge` then allocates next to nothing.
 */
export interface FastModel {
  readonly most: number;
  /** Outcome for `least`..most machines, at machines - 1; default from one machine on. */
  judge(draw: Draw, into: Outcome[], least?: number): void;
  /** After `judge`: the bags that this draw wants made, by [bath x rounds + round], stock used first. */
  readonly wanted: Float64Array;
  readonly supplies: SupplyPlan;
}

function copy(from: Outcome, into: Outcome): void {
  into.bagsShort = from.bagsShort;
  into.openingShort = from.openingShort;
  into.cause = from.cause;
  into.round = from.round;
}

/** @param most the largest number of machines that will be asked about */
export function fastModel(problem: Problem, most: number): FastModel {
  const { rules, rounds, baths } = problem;
  const R = rounds.length;
  const B = baths.length;
  const ready = readyBags(problem, most);
  const { machines, kinds, kindOf, deadlines, held } = ready;
  const K = kinds.length;
  const capacity = ready.bags;
  const supplies = supplyPlanOf(problem, ready);

  // Machines of a kind share baths; the ones that can run fewest baths are used first.
  const byFlexibility = kinds.map((_, kind) => kind).sort((a, b) => kinds[a]!.length - kinds[b]!.length);
  const kindsOfBath = baths.map((_, bath) => byFlexibility.filter((kind) => kinds[kind]!.includes(bath)));
  const grain = kinds.map((_, kind) =>
    Math.min(...machines.filter((_, m) => kindOf[m] === kind).map(({ positions }) => positions)),
  );

  // The oldest fills that may serve a round: some of those made for round `shelfFrom`, by their part `shelfPart`.
  const shelfFrom = new Int32Array(R);
  const shelfPart = new Float64Array(R);
  for (let r = 1; r < R; r++) {
    const latest = rounds[r]!.to - rules.shelf + rules.swapMinutes;
    let j = 1;
    while (j <= r && deadlines[j]! < latest) j += 1;
    shelfFrom[r] = j;
    if (j > r) continue;
    const begin = Math.max(0, deadlines[j - 1]!);
    shelfPart[r] = latest <= begin ? 1 : (deadlines[j]! - latest) / (deadlines[j]! - begin);
  }

  const lots = problem.lots
    .map((lot) => ({ ...lot, amount: (lot.bags * lot.bagParts) / problem.bagParts }))
    .filter(({ amount }) => amount > 0)
    .sort(firstToExpire);
  const lotsOfBath = baths.map((_, bath) => lots.flatMap((lot, n) => (lot.bath === bath ? [n] : [])));
  const left = new Float64Array(lots.length);
  const refill = () => {
    for (let n = 0; n < left.length; n++) left[n] = lots[n]!.amount;
  };
  const takeLots = (bath: number, round: number, wanted: number): number => {
    let rest = wanted;
    const { at, to } = rounds[round]!;
    const mine = lotsOfBath[bath]!;
    for (let i = 0; i < mine.length; i++) {
      if (rest <= 0) break;
      const n = mine[i]!;
      const lot = lots[n]!;
      if (left[n]! <= 0 || lot.ready > at || lot.expires < to) continue;
      const taken = Math.min(rest, left[n]!);
      left[n]! -= taken;
      rest -= taken;
    }
    return rest;
  };

  const net = new Float64Array(B * R);
  const wantedBaths = new Uint8Array(R);
  const rest = new Float64Array(K * R);
  const pointer = new Int32Array(K);
  const surplus = new Float64Array(B);
  const usedOfBath = new Float64Array(B);
  const outcome: Outcome = { bagsShort: 0, openingShort: 0, cause: -1, round: -1 };

  /** Bags of one kind of machine for a round, whole fills of them, the oldest that are still good first. */
  const take = (kind: number, r: number, order: number): number => {
    const oldest = shelfFrom[r]!;
    const row = kind * R;
    let got = 0;
    let first = Math.max(pointer[kind]!, oldest);
    for (let j = first; j <= r && got < order - EPSILON; j++) {
      const there = rest[row + j]!;
      let part = Math.min(order - got, there);
      if (j === oldest) part = Math.min(part, shelfPart[r]! * capacity[row + j]!);
      rest[row + j] = there - part;
      got += part;
      if (there - part <= EPSILON && j === first) first = j + 1;
    }
    pointer[kind] = first;
    return got;
  };

  /** Serves the rounds in order of time from what can be made, and from lots before that or after it. */
  const serve = (need: ArrayLike<number>, lotsLast: boolean): void => {
    let made = 0;
    pointer.fill(1);
    rest.set(capacity);
    surplus.fill(0);
    usedOfBath.fill(0);
    outcome.bagsShort = 0;
    outcome.openingShort = 0;
    outcome.cause = -1;
    outcome.round = -1;
    for (let r = 0; r < R; r++) {
      const stale = shelfFrom[r]! >= r;
      for (let bath = 0; bath < B; bath++) {
        // What a fill held beyond its round is still good for the next one, unless bags are hardly good for one.
        const over = stale ? 0 : surplus[bath]!;
        let wanted = need[bath * R + r]! - over;
        surplus[bath] = wanted < 0 ? -wanted : 0;
        if (wanted <= EPSILON) continue;
        let lacked = r === 0 ? 0 : MACHINES;
        const able = kindsOfBath[bath]!;
        for (let n = 0; r > 0 && n < able.length && wanted > EPSILON; n++) {
          const kind = able[n]!;
          const size = grain[kind]!;
          let order = Math.ceil((wanted - EPSILON) / size) * size;
          const allowed = Math.min(supplies.all[r]! - made, supplies.ofBath[bath]![r]! - usedOfBath[bath]!);
          if (order > allowed) {
            order = Math.max(0, Math.floor((allowed + EPSILON) / size) * size);
            lacked = 1;
          }
          const got = take(kind, r, order);
          made += got;
          usedOfBath[bath]! += got;
          wanted -= got;
        }
        if (wanted > EPSILON && lotsLast) wanted = takeLots(bath, r, wanted);
        if (wanted <= EPSILON) {
          if (-wanted > surplus[bath]!) surplus[bath] = -wanted;
          continue;
        }
        outcome.bagsShort += wanted;
        if (r === 0) outcome.openingShort += wanted;
        if (outcome.round >= 0) continue;
        outcome.round = r;
        outcome.cause = lacked === MACHINES ? held[r]! || MACHINES : lacked;
      }
    }
  };

  return {
    most,
    wanted: net,
    supplies,
    judge(draw, into, least = 1) {
      const { need } = draw;
      refill();
      let asked = 0;
      wantedBaths.fill(0);
      for (let bath = 0, at = 0; bath < B; bath++)
        for (let r = 0; r < R; r++, at++) {
          const wanted = takeLots(bath, r, need[at]!);
          net[at] = wanted;
          asked += wanted;
          if (wanted > 0) wantedBaths[r]! += 1;
        }
      ready.begin(draw, wantedBaths);
      for (let count = 1; count <= most; count++) {
        const m = count - 1;
        ready.add(m);
        if (count < least) continue;
        ready.limit(count);
        serve(net, false);
        const out = into[m]!;
        copy(outcome, out);
        // Which lots go first matters where little is short, not where nearly everything is.
        if (outcome.bagsShort > EPSILON && lots.length > 0 && outcome.bagsShort < NEARLY * asked) {
          refill();
          serve(need, true);
          if (outcome.bagsShort < out.bagsShort - EPSILON) copy(outcome, out);
        }
        // A machine more can stand idle, so it never does harm.
        if (count > least && out.bagsShort > into[m - 1]!.bagsShort) copy(into[m - 1]!, out);
        if (out.bagsShort <= out.openingShort + EPSILON) {
          // Nothing but stock is short: more machines change nothing.
          for (let more = count; more < most; more++) copy(out, into[more]!);
          return;
        }
      }
    },
  };
}
