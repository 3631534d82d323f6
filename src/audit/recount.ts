import { type Demand, demandOf } from '../demand/demand.ts';
import {
  add,
  compare,
  decimal,
  divide,
  type Fraction,
  multiply,
  subtract,
  toNumber,
  whole,
} from '../exact/fraction.ts';
import type { NeedRow, Score } from '../plan/plan.ts';
import { type Facts, lengthOf } from './facts.ts';

/** Litres of one bath with the time in which they may be used. */
interface Tap {
  readonly litresPerBag: Fraction;
  readonly ready: number;
  readonly expires: number;
  left: Fraction;
}

const NOTHING = whole(0);
const DAY = 24 * 60;

function tapsOf(facts: Facts, bath: number): Tap[] {
  const { lots, partsPerLitre, rules } = facts.problem;
  const taps = lots
    .filter((lot) => lot.bath === bath)
    .map(({ bags, bagParts, ready, expires }): Tap => {
      const litresPerBag = divide(whole(bagParts), whole(partsPerLitre));
      return { litresPerBag, ready, expires, left: multiply(litresPerBag, whole(bags)) };
    });
  const litresPerBag = decimal(rules.fillLitres);
  for (const fill of facts.sound) {
    const machine = facts.machine(fill);
    if (fill.kind !== 'fill' || !machine || facts.bathNumber(fill.bath) !== bath) continue;
    taps.push({
      litresPerBag,
      ready: fill.end + rules.swapMinutes + rules.releaseMinutes,
      expires: fill.end + rules.shelf,
      left: multiply(litresPerBag, whole(machine.positions)),
    });
  }
  const earlier = (a: number, b: number) => (a < b ? -1 : a > b ? 1 : 0);
  return taps.sort((a, b) => earlier(a.expires, b.expires) || earlier(a.ready, b.ready));
}

/**
 * What each round needs and gets, and what the plan is worth (planning rules, section 4), counted a second time in exact
 * fractions and apart from the planner's count, so that a fault in either shows.
 */
export function recount(facts: Facts): { needs: NeedRow[]; score: Score } {
  const { problem, sound } = facts;
  const demand: Demand = demandOf(problem);
  const bag = decimal(problem.rules.fillLitres);
  const needs: NeedRow[] = [];
  let unmet = NOTHING;
  let reserveShort = NOTHING;
  let expired = NOTHING;
  problem.baths.forEach((id, bath) => {
    const taps = tapsOf(facts, bath);
    for (const round of problem.rounds) {
      const bags = demand.bags[bath]![round.index]!;
      if (bags === 0) continue;
      const litres = multiply(bag, whole(bags));
      let wanted = litres;
      for (const tap of taps) {
        if (wanted.n === 0n) break;
        if (tap.left.n === 0n || tap.ready > round.at || tap.expires < round.to) continue;
        const poured = compare(tap.left, wanted) < 0 ? tap.left : wanted;
        tap.left = subtract(tap.left, poured);
        wanted = subtract(wanted, poured);
      }
      unmet = add(unmet, wanted);
      needs.push({
        bath: id,
        round: round.index,
        at: round.at,
        bags,
        litres: toNumber(litres),
        unmetLitres: toNumber(wanted),
      });
    }
    let kept = NOTHING;
    for (const tap of taps) {
      if (tap.left.n === 0n) continue;
      if (tap.ready <= problem.horizon && tap.expires >= problem.horizon + DAY) kept = add(kept, tap.left);
      if (tap.expires > 0 && tap.expires <= problem.horizon)
        expired = add(expired, divide(tap.left, tap.litresPerBag));
    }
    const short = subtract(decimal(problem.reserve[bath]!), divide(kept, bag));
    if (short.n > 0n) reserveShort = add(reserveShort, short);
  });
  const baths = new Map(problem.baths.map((id, index) => [id, index]));
  needs.sort((a, b) => a.round - b.round || baths.get(a.bath)! - baths.get(b.bath)!);
  let handsOnMinutes = 0;
  for (const activity of sound) if (activity.kind !== 'fill') handsOnMinutes += lengthOf(activity);
  return {
    needs,
    score: {
      unmetLitres: toNumber(unmet),
      reserveShort: toNumber(reserveShort),
      handsOnMinutes,
      expiredBags: toNumber(expired),
    },
  };
}
