import type { Demand } from '../demand/demand.ts';
import { type Lot, MINUTES_A_DAY, type Problem, type Round } from '../scenario/problem/types.ts';
import { lotName } from './lotName.ts';
import type { Activity, NeedRow, Score } from './plan.ts';
import { handsOnMinutes } from './work.ts';

/** So many parts of a litre from one lot serve one round. */
interface Serving {
  readonly lot: number;
  readonly bath: number;
  readonly round: number;
  readonly parts: number;
}
export interface Cover {
  /** Stock and deliveries in the problem's order, then the fills in the order of their activities. */
  readonly lots: readonly Lot[];
  readonly servings: readonly Serving[];
  /** Parts of a litre unserved, [bath][round]. */
  readonly unmet: readonly (readonly number[])[];
  /** Parts left of each lot after the last round. */
  readonly left: readonly number[];
  /** Parts wanting for the reserve, by bath. */
  readonly reserveShort: readonly number[];
  /** Parts wanting for the stock that is to be there after each round (M21), [bath][round]. */
  readonly stockShort: readonly (readonly number[])[];
}

/**
 * When a test lets bags go that were filled by a minute: the end of the first one of their source that starts then or
 * later; infinity where there is none.
 */
function releasesOf({ machines, water }: Problem, activities: readonly Activity[]) {
  const tests = new Map<string, { start: number; end: number }[]>(water.map(({ id }) => [id, []]));
  for (const one of activities) if (one.kind === 'test') tests.get(one.water)?.push(one);
  for (const list of tests.values()) list.sort((a, b) => a.start - b.start || a.end - b.end);
  const sources = new Map(machines.map((machine) => [machine.id, water[machine.water]?.id ?? '']));
  return (machine: string, filledBy: number): number =>
    tests.get(sources.get(machine) ?? '')?.find(({ start }) => start >= filledBy)?.end ??
    Number.POSITIVE_INFINITY;
}

/**
 * The lots that a plan's fills make (M14, M18), in the order of the activities: ready after swap and release, with
 * `releaseAfterTest` also not before a test (never, infinity, where none follows); expiring shelf time after the fill's end.
 */
export function lotsOfFills(problem: Problem, activities: readonly Activity[]): Lot[] {
  const { swapMinutes, releaseMinutes, shelf, releaseAfterTest } = problem.rules;
  const bathNumber = new Map(problem.baths.map((id, index) => [id, index]));
  const number = new Map(problem.machines.map(({ id }, index) => [id, index]));
  const usable = new Map(problem.machines.map((machine) => [machine.id, machine.usable]));
  const testedBy = releaseAfterTest ? releasesOf(problem, activities) : () => Number.NEGATIVE_INFINITY;
  return activities.flatMap((activity) =>
    activity.kind === 'fill'
      ? {
          id: lotName(problem.clock, activity.machine, activity.start),
          origin: 'fill' as const,
          bath: bathNumber.get(activity.bath) ?? -1,
          bags: usable.get(activity.machine) ?? 0,
          bagParts: problem.bagParts,
          ready: Math.max(
            activity.end + swapMinutes + releaseMinutes,
            testedBy(activity.machine, activity.end),
          ),
          expires: activity.end + shelf,
          begun: activity.start,
          machine: number.get(activity.machine) ?? -1,
        }
      : [],
  );
}

type Turn = Pick<Lot, 'expires' | 'ready' | 'begun' | 'machine'>;

/**
 * Below 0 when lot a is taken before lot b: by expiry, then by when it was ready (from the start on: minute 0), then
 * stock and deliveries before fills, fills by their begin, then by machine. 0 for two of stock or deliveries alike: they
 * are taken as listed, which a sort keeps.
 */
export function firstToExpire(a: Turn, b: Turn): number {
  if (a.expires !== b.expires) return a.expires < b.expires ? -1 : 1;
  const [readyA, readyB] = [Math.max(0, a.ready), Math.max(0, b.ready)];
  if (readyA !== readyB) return readyA < readyB ? -1 : 1;
  return (a.begun ?? -1) - (b.begun ?? -1) || (a.machine ?? -1) - (b.machine ?? -1);
}

/**
 * Serves the rounds in order of time from the lots, the first to expire first (M19). A lot may
 * serve a round when it is ready by then and expires no earlier than the end of what the round covers.
 */
export function cover(problem: Problem, demand: Demand, fills: readonly Lot[]): Cover {
  const lots = [...problem.lots, ...fills];
  const left = lots.map((lot) => lot.bags * lot.bagParts);
  const servings: Serving[] = [];
  const unmet = demand.bags.map((byRound) => byRound.map((bags) => bags * problem.bagParts));
  const reserveShort = problem.reserve.map(() => 0);
  const stockShort = problem.baths.map(() => new Array<number>(problem.rounds.length).fill(0));
  // What the next round could take if it left now.
  const freeAfter = (round: Round, mine: readonly number[]) => {
    const until = problem.rounds[round.index + 1]?.to ?? problem.horizon;
    return mine.reduce(
      (sum, index) =>
        lots[index]!.ready <= round.at && lots[index]!.expires >= until ? sum + left[index]! : sum,
      0,
    );
  };
  problem.baths.forEach((_, bath) => {
    const mine = lots.map((_, index) => index).filter((index) => lots[index]!.bath === bath);
    mine.sort((a, b) => firstToExpire(lots[a]!, lots[b]!));
    for (const round of problem.rounds) {
      let wanted = unmet[bath]![round.index]!;
      for (const index of mine) {
        if (wanted === 0) break;
        const lot = lots[index]!;
        if (left[index] === 0 || lot.ready > round.at || lot.expires < round.to) continue;
        const parts = Math.min(wanted, left[index]!);
        left[index]! -= parts;
        wanted -= parts;
        servings.push({ lot: index, bath, round: round.index, parts });
      }
      unmet[bath]![round.index] = wanted;
      const least = problem.minStock[bath]! * problem.bagParts;
      if (least > 0) stockShort[bath]![round.index] = Math.max(0, least - freeAfter(round, mine));
    }
    const kept = mine.filter(
      (index) =>
        lots[index]!.ready <= problem.horizon && lots[index]!.expires >= problem.horizon + MINUTES_A_DAY,
    );
    const stock = kept.reduce((sum, index) => sum + left[index]!, 0);
    reserveShort[bath] = Math.max(0, problem.reserve[bath]! * problem.bagParts - stock);
  });
  return { lots, servings, unmet, left, reserveShort, stockShort };
}

/** What the plan's activities are worth, given what its lots serve. */
export function scoreOf(problem: Problem, activities: readonly Activity[], covered: Cover): Score {
  const { horizon, partsPerLitre, bagParts } = problem;
  const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
  const waiting = (byRound: readonly number[]) =>
    sum(byRound.map((parts, index) => parts * (horizon - problem.rounds[index]!.at)));
  const expired = covered.lots.map(({ expires, bagParts: size }, index) =>
    expires > problem.now && expires <= horizon && size > 0 ? covered.left[index]! / size : 0,
  );
  return {
    unmetLitres: sum(covered.unmet.map(sum)) / partsPerLitre,
    unmetLitreHours: sum(covered.unmet.map(waiting)) / partsPerLitre / 60,
    reserveShort: (sum(covered.reserveShort) + sum(covered.stockShort.map(sum))) / bagParts,
    handsOnMinutes: handsOnMinutes(problem, activities),
    expiredBags: sum(expired),
  };
}

/** Needs above 0, by round, then bath. */
export function needRows(problem: Problem, demand: Demand, covered: Cover): NeedRow[] {
  return problem.rounds.flatMap((round) =>
    problem.baths.flatMap((id, bath) => {
      const bags = demand.bags[bath]![round.index]!;
      return bags === 0
        ? []
        : {
            bath: id,
            round: round.index,
            at: round.at,
            bags,
            litres: (bags * problem.bagParts) / problem.partsPerLitre,
            unmetLitres: covered.unmet[bath]![round.index]! / problem.partsPerLitre,
          };
    }),
  );
}
