import type { Demand } from '../../demand/demand.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { PlanOptions } from '../options.ts';
import { FIRST_TAKES, MANY } from './rivals.ts';
import type { Heat } from './search.ts';

/** How hot to anneal. */
type Manner = Omit<Heat, 'tries'>;
interface Stage {
  /** Of all tries. */
  readonly share: number;
  readonly manner: Manner;
  /** Instead, as long as the best so far leaves a need unmet. */
  readonly wanting: Manner;
}
/** A missing litre is cheap at first, so that whole campaigns can change places, and dear enough at the end. */
const CROSSING: Manner = { hot: 15, cold: 4, litre: 0.4, litreTo: 3 };
/** At the end a litre outweighs everything; where some must stay unmet, there is more to change places for. */
const CLOSING: Manner = { hot: 5, cold: 0.5, litre: 3, litreTo: 1000 };
const PRESSING: Manner = { hot: 15, cold: 1, litre: 1, litreTo: 100 };
const SETTLING: Manner = { hot: 12, cold: 0.5, litre: 50, litreTo: 1000 };
/** With few tries for each fill there is no time to cross: cooler, and a litre is dear from the start. Also the other way to search. */
const COOL: Manner = { hot: 4, cold: 0.5, litre: 5, litreTo: 100 };
const PRESSED: Manner = { hot: 3, cold: 0.5, litre: 10, litreTo: 100 };
const LAST: Manner = { hot: 3, cold: 0.5, litre: 25, litreTo: 1000 };
/** Between the two: what gets near the end soonest. */
const FIRST: Manner = { hot: 6, cold: 0.5, litre: 2, litreTo: 100 };
/** A short search first, since somebody waits, then a long one from the best of it. */
const COLD: readonly Stage[] = [
  { share: 0.1, manner: FIRST, wanting: PRESSED },
  { share: 0.03, manner: LAST, wanting: LAST },
  { share: 0.18, manner: CROSSING, wanting: CROSSING },
  { share: 0.18, manner: CROSSING, wanting: CROSSING },
  { share: 0.18, manner: CROSSING, wanting: CROSSING },
  { share: 0.17, manner: CLOSING, wanting: PRESSING },
  { share: 0.16, manner: CLOSING, wanting: SETTLING },
];
const HURRIED: readonly Stage[] = [
  { share: 0.85, manner: COOL, wanting: PRESSED },
  { share: 0.15, manner: LAST, wanting: LAST },
];
/** Nothing that crosses over worse plans: the clock may strike at any time. */
const soon = (share: number): readonly Stage[] => [
  { share: 0.8 * share, manner: FIRST, wanting: PRESSED },
  { share: 0.2 * share, manner: LAST, wanting: LAST },
];
const HASTY: readonly Stage[] = [0.1, 0.075, 0.075, 0.075, 0.075].flatMap(soon);
/** Tries for each fill below which a search is in a hurry. */
const UNHURRIED = 30;
/** Around an earlier plan: only what is better, so that what need not change stays. */
const STAYING: Manner = { hot: 2, cold: 0.5, litre: 1000, litreTo: 1000 };
const WARM: readonly Stage[] = [{ share: 1, manner: STAYING, wanting: STAYING }];

/**
 * From lines by chance, each time anew: from hot to cold in one go. `times` as many tries in all as the search has, since
 * each takes little; fewer where machines also go turn by turn.
 */
export const WILD = {
  tries: 3000,
  drawn: 100,
  times: 3,
  timesBesideTurns: 2,
  hot: 15,
  cold: 0.5,
  litre: 0.4,
  litreTo: 1000,
};

/** Tries of a whole schedule of WEEK fills or fewer; larger ones get fewer, so that the work stays about the same. */
const TRIES = 45_000;
/** Where one pair of searches has to do, it has so many times as many. */
const ALONE = 2;
export const WEEK = 400;
const FEWEST_TRIES = 3000;
/** Below so many fills there is less to try, down to a quarter of it. */
const FEW = 40;
/** After an edit the old lines are good: a short search around them. */
const WARM_TRIES = 450;

/** Fills that the need takes at least, about. */
export function fillsOf(problem: Problem, demand: Demand): number {
  const bags = demand.bags.flat().reduce((sum, bags) => sum + bags, 0);
  return Math.max(1, bags / Math.max(1, ...problem.machines.map(({ usable }) => usable)));
}

/** @param forEach tries for each fill */
export function stagesFor({ previous, hasty, cool }: PlanOptions, forEach: number): readonly Stage[] {
  if (previous) return WARM;
  if (forEach < UNHURRIED) return HURRIED;
  if (hasty) return HASTY;
  return cool ? HURRIED : COLD;
}

/** Tries of a whole search, unless told. */
export function triesFor({ tries, previous, from }: PlanOptions, fills: number): number {
  const most = (fills > MANY ? ALONE : 1) * (from ? TRIES / FIRST_TAKES : TRIES);
  const scaled = most * Math.min(1, WEEK / fills, Math.max(0.25, fills / FEW));
  return tries ?? (previous ? WARM_TRIES : Math.round(Math.max(FEWEST_TRIES, scaled)));
}
