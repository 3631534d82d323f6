import { demandOf } from '../demand/demand.ts';
import { add, decimal, type Fraction, subtract, toNumber, whole } from '../exact/fraction.ts';
import type { NeedRow, Score } from '../plan/plan.ts';
import { type Facts, lengthOf } from './facts.ts';

/** Parts of a litre of one bath, with the time in which they may be used. */
interface Tap {
  readonly bag: bigint;
  readonly ready: number;
  readonly expires: number;
  left: bigint;
}

const NOTHING = whole(0);
const DAY = 24 * 60;
const earlier = (a: number, b: number) => (a < b ? -1 : a > b ? 1 : 0);
const over = (n: bigint, d: bigint): Fraction => ({ n, d });

function tapsOf(facts: Facts, bath: number, bag: bigint): Tap[] {
  const { lots, rules } = facts.problem;
  const taps = lots
    .filter((lot) => lot.bath === bath)
    .map(({ bags, bagParts, ready, expires }): Tap => {
      return { bag: BigInt(bagParts), ready, expires, left: BigInt(bags) * BigInt(bagParts) };
    });
  for (const fill of facts.sound) {
    const machine = facts.machine(fill);
    if (fill.kind !== 'fill' || !machine || facts.bathNumber(fill.bath) !== bath) continue;
    const ready = fill.end + rules.swapMinutes + rules.releaseMinutes;
    taps.push({ bag, ready, expires: fill.end + rules.shelf, left: bag * BigInt(machine.usable) });
  }
  return taps.sort((a, b) => earlier(a.expires, b.expires) || earlier(a.ready, b.ready));
}

/**
 * What each round needs and gets, and what the plan is worth (planning rules, section 4), counted a second time in
 * whole numbers without limit and apart from the planner's count, so that a fault in either shows.
 */
export function recount(facts: Facts): { needs: NeedRow[]; score: Score } {
  const { problem, sound } = facts;
  const parts = BigInt(problem.partsPerLitre);
  const litresPerBag = decimal(problem.rules.fillLitres);
  const bag = (litresPerBag.n * parts) / litresPerBag.d;
  const demand = demandOf(problem);
  const rows: { row: NeedRow; bath: number }[] = [];
  let unmet = 0n;
  /** Parts x minutes. */
  let unmetTime = 0n;
  let reserveShort = NOTHING;
  /** Parts that expire, by the size of their bags. */
  const expired = new Map<bigint, bigint>();
  problem.baths.forEach((id, bath) => {
    const taps = tapsOf(facts, bath, bag);
    for (const round of problem.rounds) {
      const bags = demand.bags[bath]![round.index]!;
      if (bags === 0) continue;
      const litres = bag * BigInt(bags);
      let wanted = litres;
      for (const tap of taps) {
        if (wanted === 0n) break;
        if (tap.left === 0n || tap.ready > round.at || tap.expires < round.to) continue;
        const poured = tap.left < wanted ? tap.left : wanted;
        tap.left -= poured;
        wanted -= poured;
      }
      unmet += wanted;
      unmetTime += wanted * BigInt(problem.horizon - round.at);
      const row: NeedRow = {
        bath: id,
        round: round.index,
        at: round.at,
        bags,
        litres: toNumber(over(litres, parts)),
        unmetLitres: toNumber(over(wanted, parts)),
      };
      rows.push({ row, bath });
    }
    let kept = 0n;
    for (const tap of taps) {
      if (tap.left === 0n) continue;
      if (tap.ready <= problem.horizon && tap.expires >= problem.horizon + DAY) kept += tap.left;
      if (tap.expires > 0 && tap.expires <= problem.horizon)
        expired.set(tap.bag, (expired.get(tap.bag) ?? 0n) + tap.left);
    }
    const short = subtract(decimal(problem.reserve[bath]!), over(kept, bag));
    if (short.n > 0n) reserveShort = add(reserveShort, short);
  });
  rows.sort((a, b) => a.row.round - b.row.round || a.bath - b.bath);
  let handsOnMinutes = 0;
  for (const activity of sound) if (activity.kind !== 'fill') handsOnMinutes += lengthOf(activity);
  let expiredBags = NOTHING;
  for (const [size, left] of expired) expiredBags = add(expiredBags, over(left, size));
  return {
    needs: rows.map(({ row }) => row),
    score: {
      unmetLitres: toNumber(over(unmet, parts)),
      unmetLitreHours: toNumber(over(unmetTime, parts * 60n)),
      reserveShort: toNumber(reserveShort),
      handsOnMinutes,
      expiredBags: toNumber(expiredBags),
    },
  };
}
