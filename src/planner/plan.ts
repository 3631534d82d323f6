import { type Demand, demandOf } from '../demand/demand.ts';
import { cover, lotsOfFills, needRows, scoreOf } from '../plan/cover.ts';
import { type Activity, compareScores, inOrder, type Plan } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem.ts';
import { planByHand } from './byHand.ts';
import { chanceOf } from './chance.ts';
import type { Lines, Temper } from './deciders.ts';
import { linesOf } from './lines.ts';
import type { Planner, PlanOptions } from './planner.ts';
import { Search } from './search.ts';

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

/** Tries of a whole schedule by default: a few seconds for a week, half a minute for a crisis. */
const DEFAULT_TRIES = 9000;
/** After an edit the old lines are good: a short search around them. */
const WARM_TRIES = 800;

/** Plans a problem. See `Planner`; the way it goes is told in DEVELOPERS.md, "The planner". */
export const plan: Planner = async (problem, options: PlanOptions = {}) => {
  const { clock, seconds = EVER, previous, now = 0 } = options;
  const began = clock?.() ?? 0;
  const elapsed = () => ((clock?.() ?? 0) - began) / 1000;
  const remarks: string[] = [];
  const demand = demandOf(problem);
  const search = new Search(problem, demand);
  if (previous && now > 0) search.freeze(historyOf(previous, now), now);

  const bound = { unmetLitres: 0, handsOnMinutes: 0 };
  const tries = options.tries ?? (previous ? WARM_TRIES : DEFAULT_TRIES);
  let stopped = false;
  const report = (done: number) => {
    if (options.onProgress && search.best) {
      const activities = search.activities();
      options.onProgress({
        done,
        score: asPlan(problem, activities, { bound, remarks, seconds: 0 }).score,
        bound,
        activities,
      });
    }
  };
  /** Works a generator to its end, unless the caller or the clock stops it. */
  const work = async (steps: Generator<number>, from: number, share: number) => {
    let last = -1;
    for (const done of steps) {
      if (options.stop?.()) stopped = true;
      else if (elapsed() > seconds) {
        stopped = true;
        remarks.push(
          `The search stopped at its time limit of ${seconds} s; the plan is the best found by then.`,
        );
      }
      if (stopped) return;
      if (done - last > 0.02) {
        last = done;
        if (options.pause) await options.pause();
        report(from + share * done);
      }
    }
  };

  const tempers = tempersOf(problem, demand);
  const starts: Lines[] = [];
  if (previous) starts.push(search.consider(linesOf(problem, previous, now)));
  starts.push(...search.construct(tempers.slice(0, 1)));
  report(0);
  if (tries > 50) starts.push(...search.construct(tempers.slice(1)));
  if (tries > 50 && !previous) starts.push(search.consider(linesOf(problem, planByHand(problem), 0)));
  const chance = chanceOf(options.seed ?? 1);
  const heats = [
    { share: 0.5, hot: 40, cold: 2, litre: 25 },
    { share: 0.3, hot: 15, cold: 1, litre: 25 },
    { share: 0.2, hot: 5, cold: 0.5, litre: 1000 },
  ];
  let from = 0;
  for (const { share, ...heat } of heats) {
    if (stopped) break;
    const start = search.best?.lines ?? starts[0]!;
    await work(search.anneal(start, chance, { ...heat, tries: share * tries }), from, share);
    from += share;
  }
  const activities = search.best ? search.activities() : [];
  const made = asPlan(problem, activities, { bound, remarks, seconds: elapsed() });
  const nothing = asPlan(problem, previous && now > 0 ? historyOf(previous, now) : [], {
    bound,
    remarks,
    seconds: elapsed(),
  });
  return compareScores(made.score, nothing.score) <= 0 ? made : nothing;
};
