import { type Demand, demandOf } from '../demand/demand.ts';
import { cover, lotsOfFills, needRows, scoreOf } from '../plan/cover.ts';
import { type Activity, compareScores, inOrder, NOTHING_PROVEN, type Plan } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import type { Planner, PlanOptions } from './planner.ts';
import { worthOf } from './repair/replay.ts';
import { planByHand } from './schedule/byHand.ts';
import { chanceOf } from './schedule/chance.ts';
import type { Temper } from './schedule/deciders.ts';
import { fewestTests } from './schedule/fewestTests.ts';
import { linesOf } from './schedule/lines.ts';
import { FIRST_TAKES } from './search/rivals.ts';
import { type Heat, Search } from './search/search.ts';
import { firstTempers, machinesNear, temperBeside, tempersNear } from './search/tempers.ts';

/** Activities with what they are worth: the plan that a sheet, a file or a page shows. */
export function asPlan(
  problem: Problem,
  activities: readonly Activity[],
  rest: Pick<Plan, 'bound' | 'remarks' | 'seconds'>,
): Plan {
  const ordered = inOrder(activities);
  const demand = demandOf(problem);
  const covered = cover(problem, demand, lotsOfFills(problem, ordered));
  return {
    activities: ordered,
    needs: needRows(problem, demand, covered),
    score: scoreOf(problem, ordered, covered),
    ...rest,
  };
}

const EVER = Number.POSITIVE_INFINITY;

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
 * Activities of a plan that are history at minute `now`: what has started, the swaps of fills under way, and the tests
 * that what is under way will run on.
 */
export function historyOf(activities: readonly Activity[], now: number): Activity[] {
  const under = new Set(
    activities.flatMap((a) => (a.kind === 'fill' && a.start < now ? [`${a.machine} ${a.end}`] : [])),
  );
  const flowing = Math.max(
    now,
    ...activities.flatMap((a) => (a.start < now && a.kind !== 'swap' && a.kind !== 'test' ? [a.end] : [])),
  );
  return activities.filter(
    (a) =>
      a.start < now ||
      (a.kind === 'swap' && under.has(`${a.machine} ${a.start}`)) ||
      (a.kind === 'test' && a.end < flowing),
  );
}

/** Tries of a whole schedule of WEEK fills or fewer; larger ones get fewer, so that the work stays about the same. */
const TRIES = 90_000;
export const WEEK = 400;
const FEWEST_TRIES = 3000;
/** Below so many fills there is less to try, down to a quarter of it. */
const FEW = 40;
/** After an edit the old lines are good: a short search around them. */
const WARM_TRIES = 450;
/** Times that the best temper is varied at most. */
const REFINED = 3;
/** Then tempers are changed by chance so often, and a dearer one is taken up to about so many minutes more at first. */
const WANDERED = 300;
const WANDER_HOT = 60;
const WANDER_COLD = 1;
/** Machines exchange their lines, tries at most for each of the search. */
const EXCHANGED = 0.25;

/** Fills that the need takes at least, about. */
function fillsOf(problem: Problem, demand: Demand): number {
  const bags = demand.bags.flat().reduce((sum, bags) => sum + bags, 0);
  return Math.max(1, bags / Math.max(1, ...problem.machines.map(({ positions }) => positions)));
}

/** @param forEach tries for each fill */
function stagesFor({ previous, hasty, cool }: PlanOptions, forEach: number): readonly Stage[] {
  if (previous) return WARM;
  if (forEach < UNHURRIED) return HURRIED;
  if (hasty) return HASTY;
  return cool ? HURRIED : COLD;
}

/** Plans a problem. See `Planner`; the way it goes is told in DEVELOPERS.md, "The planner". */
export const plan: Planner = async (problem, options: PlanOptions = {}) => {
  const { clock, seconds = EVER, previous, from, now = 0 } = options;
  const began = clock?.() ?? 0;
  const elapsed = () => ((clock?.() ?? 0) - began) / 1000;
  const remarks: string[] = [];
  const demand = demandOf(problem);
  const search = new Search(problem, demand);
  const history = previous && now > 0 ? historyOf(previous, now) : [];
  if (history.length > 0 || now > 0) search.freeze(history, now);

  const worth = (activities: readonly Activity[]) => ({
    activities,
    score: worthOf(problem, demand, activities),
  });
  const fills = fillsOf(problem, demand);
  const most = from ? TRIES / FIRST_TAKES : TRIES;
  const tries =
    options.tries ??
    (previous
      ? WARM_TRIES
      : Math.round(Math.max(FEWEST_TRIES, most * Math.min(1, WEEK / fills, Math.max(0.25, fills / FEW)))));
  let stopped = false;
  const report = (done: number) => {
    if (!options.onProgress || !search.best) return;
    options.onProgress({ done, bound: null, ...worth(inOrder(search.activities())) });
  };
  const mustStop = (): boolean => {
    if (!stopped && options.stop?.()) {
      stopped = true;
      remarks.push('The search was stopped; the plan is the best found by then.');
    } else if (!stopped && elapsed() > seconds) {
      stopped = true;
      remarks.push(
        `The clock ended the search after ${Number(seconds.toPrecision(2))} s; the plan is the best found by then.`,
      );
    }
    return stopped;
  };
  /** Works a generator to its end, unless the caller or the clock stops it. */
  const work = async (steps: Generator<number>, begun: number, share: number) => {
    let last = 0;
    for (const done of steps) {
      if (mustStop()) return;
      if (done - last <= 0.02) continue;
      last = done;
      await options.pause?.();
      report(begun + share * done);
    }
  };

  const seen = new Set<string>();
  let temper: Temper | null = null;
  let least = EVER;
  /** Whether one of these is better than any before. */
  const tryTempers = (tempers: readonly Temper[]): boolean => {
    const before = least;
    for (const one of tempers) {
      const key = JSON.stringify(one);
      if (seen.has(key) || (temper && mustStop())) continue;
      seen.add(key);
      const price = search.construct(one);
      if (price >= least) continue;
      least = price;
      temper = one;
    }
    return least < before;
  };
  /** From temper to temper by chance; the search remembers the best schedule met. */
  const wander = async (from: Temper, price: number) => {
    const chance = chanceOf(options.seed ?? 1);
    let at = from;
    let least = price;
    for (let n = 0; n < WANDERED && !mustStop(); n++) {
      if (n % 8 === 0) await options.pause?.();
      const beside = temperBeside(problem, at, chance);
      const own = search.construct(beside);
      const heat = WANDER_HOT * (WANDER_COLD / WANDER_HOT) ** (n / WANDERED);
      if (own - least > heat * -Math.log(chance.unit() + 1e-300)) continue;
      at = beside;
      least = own;
    }
  };
  for (const before of [previous, from]) if (before) search.consider(linesOf(problem, before, now));
  const first = firstTempers(problem, demand);
  tryTempers(first.slice(0, 1));
  report(0);
  await options.pause?.();
  let byHand: Activity[] | null = null;
  if (tries > 50 && !previous && !from && !mustStop()) {
    tryTempers(first);
    for (let round = 0, better = true; better && round < REFINED; round++) {
      await options.pause?.();
      better = tryTempers(machinesNear(problem, temper!));
      better = tryTempers(tempersNear(problem, temper!)) || better;
    }
    await wander(temper!, least);
    if (now === 0) {
      byHand = planByHand(problem);
      search.consider(linesOf(problem, byHand, 0));
    }
    await work(search.exchange(EXCHANGED * tries), 0.05, 0);
    report(0.05);
  }
  const chance = chanceOf(options.seed ?? 1);
  let begun = 0.05;
  for (const [k, { share, manner, wanting }] of stagesFor(options, tries / fills).entries()) {
    if (stopped || !search.best) break;
    const { short } = search;
    // Where something stays unmet after a first search, what leaves least unmet is searched on from.
    const start = (short && k > 0 ? null : search.promising) ?? search.best.lines;
    const heat = { ...(short ? wanting : manner), tries: share * tries };
    await work(search.anneal(start, chance, heat), begun, 0.95 * share);
    begun += 0.95 * share;
  }
  const candidates = [history, ...(byHand ? [byHand] : []), ...(search.best ? [search.activities()] : [])];
  const [made] = candidates
    .map((one) => worth(fewestTests(problem, one, history, now)))
    .sort((a, b) => compareScores(a.score, b.score));
  return asPlan(problem, made!.activities, { bound: NOTHING_PROVEN, remarks, seconds: elapsed() });
};
