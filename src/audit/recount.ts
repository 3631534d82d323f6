import { add, decimal, type Fraction, subtract, toNumber, whole } from '../exact/fraction.ts';
import type { NeedRow, Score } from '../plan/plan.ts';
import type { Round } from '../scenario/problem/types.ts';
import { type Facts, lengthOf } from './facts.ts';
import { recountDemand } from './recountDemand.ts';

/** Parts of a litre of one bath, with the time in which they may be used. */
interface Tap {
  readonly bag: bigint;
  readonly ready: number;
  readonly expires: number;
  left: bigint;
}

const NOTHING = whole(0);
const DAY = 24 * 60;
const over = (n: bigint, d: bigint): Fraction => ({ n, d });

/** Of lots that expire and are ready together the one listed first; fills hold bags of one size, so that their order is all one. */
const before = (a: Tap, b: Tap): number =>
  a.expires - b.expires || Math.max(0, a.ready) - Math.max(0, b.ready);

/** When a fill's bags may leave: after swap and release, and where the site says so after a test begun since. */
function readyAt(facts: Facts, machine: number, end: number): number {
  const { rules, machines } = facts.problem;
  const rested = end + rules.swapMinutes + rules.releaseMinutes;
  if (!rules.releaseAfterTest) return rested;
  const tests = facts.sound.filter(
    (one) => one.kind === 'test' && facts.sourceNumber(one) === machines[machine]!.water && one.start >= end,
  );
  // By start, then end: the first of them.
  return tests.length === 0 ? Number.POSITIVE_INFINITY : Math.max(rested, tests[0]!.end);
}

function tapsOf(facts: Facts, bath: number, bag: bigint): Tap[] {
  const { lots, rules } = facts.problem;
  const taps = lots.flatMap(({ bath: own, bags, bagParts, ready, expires }): Tap[] =>
    own === bath ? [{ bag: BigInt(bagParts), ready, expires, left: BigInt(bags) * BigInt(bagParts) }] : [],
  );
  for (const fill of facts.sound) {
    const machine = facts.machineNumber(fill);
    if (fill.kind !== 'fill' || machine < 0 || facts.bathNumber(fill.bath) !== bath) continue;
    const bags = facts.problem.machines[machine]!.positions - rules.sampleBags;
    taps.push({
      bag,
      ready: readyAt(facts, machine, fill.end),
      expires: fill.end + rules.shelf,
      left: bag * BigInt(bags),
    });
  }
  return taps.sort(before);
}

/** Bags that are wanted in stock after a round and are not there, good until the end of what the next one covers. */
function stockShort(
  facts: Facts,
  bath: number,
  round: Round,
  { taps, bag }: { taps: Tap[]; bag: bigint },
): Fraction {
  const { rounds, horizon, minStock } = facts.problem;
  const until = rounds.find(({ index }) => index === round.index + 1)?.to ?? horizon;
  let free = 0n;
  for (const tap of taps) if (tap.ready <= round.at && tap.expires >= until) free += tap.left;
  const short = subtract(decimal(minStock[bath]!), over(free, bag));
  return short.n > 0n ? short : NOTHING;
}

/** Technician minutes of hands-on work: lengths times hands, and the beginnings of fills. */
function handsOn(facts: Facts): number {
  const { hands, fillStartMinutes } = facts.problem.rules;
  let minutes = 0;
  for (const activity of facts.sound) {
    if (activity.kind === 'duty') continue;
    minutes +=
      activity.kind === 'fill'
        ? Math.min(fillStartMinutes, lengthOf(activity))
        : lengthOf(activity) * hands[activity.kind];
  }
  return minutes;
}

/**
 * What each round needs and gets, and what the plan is worth counted a second time in
 * whole numbers without limit and apart from the planner's count, so that a fault in either shows.
 */
export function recount(facts: Facts): { needs: NeedRow[]; score: Score } {
  const { problem } = facts;
  const parts = BigInt(problem.partsPerLitre);
  const litresPerBag = decimal(problem.rules.fillLitres);
  const bag = (litresPerBag.n * parts) / litresPerBag.d;
  const demand = recountDemand(problem);
  const needs: NeedRow[] = [];
  let unmet = 0n;
  /** Parts x minutes. */
  let unmetTime = 0n;
  let reserveShort = NOTHING;
  /** Parts that expire, by the size of their bags. */
  const expired = new Map<bigint, bigint>();
  problem.baths.forEach((id, bath) => {
    const taps = tapsOf(facts, bath, bag);
    for (const round of problem.rounds) {
      const bags = demand[bath]![round.index]!;
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
      reserveShort = add(reserveShort, stockShort(facts, bath, round, { taps, bag }));
      if (bags === 0) continue;
      needs.push({
        bath: id,
        round: round.index,
        at: round.at,
        bags,
        litres: toNumber(over(litres, parts)),
        unmetLitres: toNumber(over(wanted, parts)),
      });
    }
    let kept = 0n;
    for (const tap of taps) {
      if (tap.left === 0n) continue;
      if (tap.ready <= problem.horizon && tap.expires >= problem.horizon + DAY) kept += tap.left;
      if (tap.expires > problem.now && tap.expires <= problem.horizon)
        expired.set(tap.bag, (expired.get(tap.bag) ?? 0n) + tap.left);
    }
    const short = subtract(decimal(problem.reserve[bath]!), over(kept, bag));
    if (short.n > 0n) reserveShort = add(reserveShort, short);
  });
  needs.sort((a, b) => a.round - b.round);
  let expiredBags = NOTHING;
  for (const [size, left] of expired) expiredBags = add(expiredBags, over(left, size));
  return {
    needs,
    score: {
      unmetLitres: toNumber(over(unmet, parts)),
      unmetLitreHours: toNumber(over(unmetTime, parts * 60n)),
      reserveShort: toNumber(reserveShort),
      handsOnMinutes: handsOn(facts),
      expiredBags: toNumber(expiredBags),
    },
  };
}
