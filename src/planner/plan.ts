import { type Demand, demandOf } from '../demand/demand.ts';
import { cover, lotsOfFills, needRows, scoreOf } from '../plan/cover.ts';
import { type Activity, compareScores, inOrder, type Plan } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem.ts';
import { boundsOf } from './bounds.ts';
import { planByHand } from './byHand.ts';
import { chanceOf } from './chance.ts';
import type { Temper } from './deciders.ts';
import { LITRE } from './evaluate.ts';
import { linesOf } from './lines.ts';
import type { Planner, PlanOptions } from './planner.ts';
import { type Heat, Search } from './search.ts';

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
/**
 * The tempers worth trying: how soon to change baths, when to rest, and on which machines. Machines that share a water
 * source are used together, since a source at rest needs no tests.
 */
export function tempersOf(problem: Problem, demand: Demand): Temper[] {
  const { machines, water, rules, horizon, bagParts } = problem;
  const all = machines.map(() => true);
  const tempers = [EVER, 2160, 1080, 480].flatMap((rest) =>
    [120, 30, 240, 480, 900].map((patience) => ({ patience, rest, early: 0, uses: all })),
  );
  const early = [120, 480].map((patience) => ({ patience, rest: EVER, early: 840, uses: all }));
  const parts = demand.bags.flat().reduce((sum, bags) => sum + bags * bagParts, 0);
  const orders = [water.map((_, w) => w), water.map((_, w) => water.length - 1 - w)];
  const fewer = orders.flatMap((order) => {
    const sorted = machines
      .map((_, m) => m)
      .sort((a, b) => order[machines[a]!.water]! - order[machines[b]!.water]!);
    const share = (m: number) => {
      const { shortest, positions } = machines[m]!;
      return (horizon * positions * bagParts) / (shortest + rules.swapMinutes) / parts;
    };
    let made = 0;
    return sorted.flatMap((_, n) => {
      made += share(sorted[n]!);
      if (n + 1 === machines.length || made < 0.85 || made > 1.6) return [];
      const uses = machines.map((_, m) => sorted.indexOf(m) <= n);
      return [0, 840].map((early) => ({ patience: 240, rest: EVER, early, uses }));
    });
  });
  return [tempers[0]!, ...early, ...fewer, ...tempers.slice(1)];
}

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
const PRESSING: Manner = { hot: 12, cold: 2, litre: 2, litreTo: LITRE };
/** At the end a litre outweighs everything. */
const CLOSING: Manner = { hot: 5, cold: 0.5, litre: 3, litreTo: 1000 };
const COLD: readonly Stage[] = [
  { share: 0.25, manner: CROSSING, wanting: CROSSING },
  { share: 0.25, manner: CROSSING, wanting: PRESSING },
  { share: 0.25, manner: CROSSING, wanting: PRESSING },
  { share: 0.25, manner: CLOSING, wanting: { ...CLOSING, litre: LITRE } },
];
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
const TRIES = 60_000;
const WEEK = 300;
const FEWEST_TRIES = 3000;
/** After an edit the old lines are good: a short search around them. */
const WARM_TRIES = 800;
/** Share of the time limit that the search may use; bounds take the rest. */
const SEARCH_SHARE = 0.6;

function triesFor(problem: Problem, demand: Demand): number {
  const bags = demand.bags.flat().reduce((sum, bags) => sum + bags, 0);
  const fills = bags / Math.max(1, ...problem.machines.map(({ positions }) => positions));
  return Math.round(Math.max(FEWEST_TRIES, TRIES * Math.min(1, WEEK / Math.max(1, fills))));
}

/** Plans a problem. See `Planner`; the way it goes is told in DEVELOPERS.md, "The planner". */
export const plan: Planner = async (problem, options: PlanOptions = {}) => {
  const { clock, seconds = EVER, previous, now = 0, bounds = false } = options;
  const began = clock?.() ?? 0;
  const elapsed = () => ((clock?.() ?? 0) - began) / 1000;
  const searchUntil = bounds ? seconds * SEARCH_SHARE : seconds;
  const remarks: string[] = [];
  const demand = demandOf(problem);
  const search = new Search(problem, demand);
  const history = previous && now > 0 ? historyOf(previous, now) : [];
  if (history.length > 0 || now > 0) search.freeze(history, now);

  const noBound = { unmetLitres: 0, handsOnMinutes: 0 };
  const worth = (activities: readonly Activity[]) =>
    asPlan(problem, activities, { bound: noBound, remarks, seconds: elapsed() });
  const tries = options.tries ?? (previous ? WARM_TRIES : triesFor(problem, demand));
  let stopped = false;
  const report = (done: number) => {
    if (!options.onProgress || !search.best) return;
    const { activities, score } = worth(search.activities());
    options.onProgress({ done, score, bound: null, activities });
  };
  const mustStop = (): boolean => {
    if (!stopped && options.stop?.()) {
      stopped = true;
      remarks.push('The search was stopped; the plan is the best found by then.');
    } else if (!stopped && elapsed() > searchUntil) {
      stopped = true;
      remarks.push(
        `The clock ended the search after ${Math.round(searchUntil)} s; the plan is the best found by then.`,
      );
    }
    return stopped;
  };
  /** Works a generator to its end, unless the caller or the clock stops it. */
  const work = async (steps: Generator<number>, from: number, share: number) => {
    let last = 0;
    for (const done of steps) {
      if (mustStop()) return;
      if (done - last <= 0.02) continue;
      last = done;
      await options.pause?.();
      report(from + share * done);
    }
  };

  const tempers = tempersOf(problem, demand);
  if (previous) search.consider(linesOf(problem, previous, now));
  search.construct(tempers.slice(0, 1));
  report(0);
  await options.pause?.();
  let byHand: Activity[] | null = null;
  if (tries > 50 && !mustStop()) {
    for (const temper of tempers.slice(1)) if (!mustStop()) search.construct([temper]);
    if (now === 0 && !previous) {
      byHand = planByHand(problem);
      search.consider(linesOf(problem, byHand, 0));
    }
    report(0.05);
  }
  const chance = chanceOf(options.seed ?? 1);
  let from = 0.05;
  for (const { share, manner, wanting } of previous ? WARM : COLD) {
    if (stopped || !search.best) break;
    const heat = { ...(search.best.unmetParts > 0 ? wanting : manner), tries: share * tries };
    await work(search.anneal(search.promising ?? search.best.lines, chance, heat), from, 0.95 * share);
    from += 0.95 * share;
  }
  const candidates = [history, ...(byHand ? [byHand] : []), ...(search.best ? [search.activities()] : [])];
  const [made] = candidates.map(worth).sort((a, b) => compareScores(a.score, b.score));
  const { activities, score } = made!;
  const proven = bounds
    ? await boundsOf(problem, demand, {
        allowed: score,
        ...(clock && { seconds: Math.max(0.1, Math.min(20, (seconds - elapsed()) / 4)) }),
      })
    : null;
  return asPlan(problem, activities, {
    bound: proven ?? noBound,
    remarks: [...remarks, ...(proven?.remarks ?? [])],
    seconds: elapsed(),
  });
};
