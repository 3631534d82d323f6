import { type Demand, demandOf } from '../../demand/demand.ts';
import { asPlan } from '../../plan/asPlan.ts';
import {
  type Activity,
  compareScores,
  fillsIn,
  inOrder,
  NOTHING_PROVEN,
  type Plan,
} from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Made, Planner, PlanOptions } from '../options.ts';
import { planByHand } from '../schedule/byHand.ts';
import { quickMatters } from '../schedule/dispatch.ts';
import { fewestTests } from '../schedule/fewestTests.ts';
import { historyOf } from '../schedule/history.ts';
import { linesOf } from '../schedule/lines.ts';
import { worthOf } from '../schedule/pieces.ts';
import { askForDuties, leftOutRemarks } from '../schedule/placeDuties.ts';
import { chanceOf } from './chance.ts';
import { commonHours, worthCommonHours } from './commonHours.ts';
import { dailyStarts } from './dailyStarts.ts';
import { eachWaitCounts, takesTurns } from './moves/giveTurn.ts';
import { Search } from './search.ts';
import { fillsOf, stagesFor, triesFor, WEEK, WILD } from './stages.ts';
import { Starts } from './starts.ts';
import { firstTempers } from './tempers.ts';
import { TurnByTurn } from './turnByTurn.ts';
import { Watch } from './watch.ts';
import { wildLines } from './wildStarts.ts';

/** Machines exchange their lines, tries at most for each of the search. */
const EXCHANGED = 0.25;
/** Share of the work that the starts are told to be. */
const STARTED = 0.05;
/** And that they and the contest of common hours are. */
const CONTEST = 0.6;
/** Fills above which lines by chance are too far from any good plan. */
const MOST_WILD = 15;
/** Work of going turn by turn (see `TurnByTurn.walk`) for each try of the search. */
const TURNS = 4.8;
/** Technician minutes that a missing litre counts there: from the one to the other by chance. */
const TURNS_LITRE = { least: 5, most: 100 };
/** A plan of so many times the fills that its need takes fills for stock most of the time: then no machines rest together. */
const MOST_STOCKED = 2;
/** Below so many tries the starts are not varied. */
const HARDLY_ANY = 50;

/** Also told what is fixed, wherever it begins; else that is what `previous` began before `now`. */
interface Pinned extends PlanOptions {
  readonly pinned?: readonly Activity[];
}

/** What a plan must begin with. */
const heldIn = ({ pinned, previous }: Pinned, now: number): readonly Activity[] =>
  pinned ?? (previous && now > 0 ? historyOf(previous, now) : []);

/**
 * Plans a problem by a search of its own. See `Planner`; the way it goes is told in PLANNER.md. A duty that finds no place
 * on a day under way is left out, and a remark says so.
 * @throws DutyFault where one finds no place in a plan from the start
 */
export const planAnew = async (problem: Problem, options: Pinned = {}): ReturnType<Planner> => {
  const made = await searched(problem, options);
  const history = heldIn(options, options.now ?? problem.now);
  return { ...made, remarks: [...made.remarks, ...leftOutRemarks(problem, made.activities, history)] };
};

/** The same without the remarks on duties left out: for those who go on changing the plan. */
export const searched = async (problem: Problem, options: Pinned = {}): ReturnType<Planner> => {
  const { previous, from, now = problem.now } = options;
  if (now === 0) askForDuties(problem);
  const demand = demandOf(problem);
  const history = heldIn(options, now);
  const worth = (activities: readonly Activity[]) => ({
    activities,
    score: worthOf(problem, demand, activities),
  });
  const watch = new Watch(options);
  const tempers = firstTempers(problem, demand);
  const begun = (quickMatters(problem) ? [false, true] : [false]).map((quickFirst) => {
    const search = new Search(problem, demand, quickFirst);
    if (history.length > 0 || now > 0) search.freeze(history, now);
    for (const before of [previous, from])
      if (before) search.consider(linesOf(problem, before, now, history));
    if (options.lines?.of) search.consider(options.lines.of);
    const starts = new Starts(problem, search, watch);
    starts.tryOut(tempers.slice(0, 1));
    return { search, starts };
  });
  let { search, starts } = cheapest(begun);
  const report = (done: number) => {
    if (!options.onProgress || !search.best) return;
    options.onProgress({ done, bound: null, ...worth(inOrder(search.activities())) });
  };
  report(0);
  await watch.pause();
  const fills = fillsOf(problem, demand);
  const tries = triesFor(options, fills);
  const tiny = fills < MOST_WILD && takesTurns(problem);
  let byTurn = false;
  let byHand: Activity[] = [];
  let byTurns: Activity[] = [];
  let begunWith = STARTED;
  if (tries > HARDLY_ANY && !previous && !from && !watch.mustStop()) {
    for (const one of begun) {
      one.starts.tryOut(tempers);
      await one.starts.refine();
    }
    // What is cheaper at the start need not be at the end: the other one of a pair feeds quick machines first in any case.
    ({ search, starts } = options.cool ? begun.at(-1)! : tiny ? begun[0]! : cheapest(begun));
    await starts.wander(options.seed ?? 1);
    if (now === 0) {
      byHand = planByHand(problem);
      search.consider(linesOf(problem, byHand, 0));
      // Larger plans have too little time to try all hours.
      if (fills <= WEEK && !watch.mustStop())
        for (const lines of dailyStarts(problem, demand)) search.consider(lines);
    }
    await watch.work(search.exchange(EXCHANGED * tries), () => report(STARTED));
    // Where stock is wanted, a small need may take many fills: then the ways are too many.
    const made = fillsIn(search.activities());
    byTurn = tiny && eachWaitCounts(problem) && made < MOST_WILD;
    if (tiny) {
      await wild(
        begun.map((one) => one.search),
        problem,
        { ...options, tries: (byTurn ? WILD.timesBesideTurns : WILD.times) * tries },
        watch,
      );
      ({ search } = cheapest(begun));
    }
    if (byTurn) {
      const turns = turnByTurn(problem, demand, options);
      await watch.work(turns.walk(TURNS * tries), () => {});
      byTurns = turns.activities;
    }
    report(STARTED);
    if (
      now === 0 &&
      made <= MOST_STOCKED * fills &&
      wantsCommonHours(problem, demand, { ...options, tries })
    ) {
      const hours = commonHours(search, problem, demand, { seed: options.seed ?? 1, tries });
      await watch.work(hours, (done) => report(STARTED + (CONTEST - STARTED) * done));
      begunWith = CONTEST;
    }
  }
  await annealed(search, { ...options, tries }, { fills, watch, report, begun: begunWith });
  const candidates = [
    search.atRest(),
    ...[byHand, byTurns].filter((one) => one.length > 0),
    ...(search.best ? [search.activities()] : []),
  ];
  const [best] = candidates
    .map((one) => worth(fewestTests(problem, one, history, now)))
    .sort((a, b) => compareScores(a.score, b.score));
  const { remarks } = watch;
  const plan = asPlan(problem, best!.activities, {
    bound: NOTHING_PROVEN,
    remarks,
    seconds: watch.elapsed(),
  });
  return withLines(plan, options, search.best?.lines);
};

/** Neither so few fills that chance finds all, nor so many that there is too little time; and nobody waits. */
function wantsCommonHours(
  problem: Problem,
  demand: Demand,
  { hasty, tries }: PlanOptions & { readonly tries: number },
): boolean {
  const fills = fillsOf(problem, demand);
  return fills >= MOST_WILD && fills <= WEEK && !hasty && worthCommonHours(problem, demand, tries);
}

/** A plan with lines, where there are any and they were asked for. */
export const withLines = (plan: Plan, { lines: asked }: PlanOptions, lines: Made['lines']): Made =>
  asked && lines ? { ...plan, lines } : plan;

/** Anneals from lines by chance, again and again, so many tries in all. */
async function wild(
  searches: readonly Search[],
  problem: Problem,
  { seed = 1, tries }: PlanOptions & { readonly tries: number },
  watch: Watch,
): Promise<void> {
  const chance = chanceOf(seed);
  for (let n = Math.floor(tries / WILD.tries); n > 0 && !watch.stopped; n--) {
    const search = searches[n % searches.length]!;
    const start = search.cheapest(WILD.drawn, () => wildLines(problem, chance));
    await watch.work(search.anneal(start, chance, WILD), () => {});
  }
}

/** To go turn by turn with: of a pair of searches one thinks highly of machines that are set up. */
function turnByTurn(problem: Problem, demand: Demand, options: Pinned): TurnByTurn {
  const { seed = 1, cool, now = problem.now } = options;
  const { least, most } = TURNS_LITRE;
  const litre = least * (most / least) ** chanceOf(seed).unit();
  const turns = new TurnByTurn(problem, demand, { litre, setUp: cool ? problem.rules.circuitMinutes : 0 });
  const history = heldIn(options, now);
  if (history.length > 0 || now > 0) turns.freeze(history, now);
  return turns;
}

/** The search whose best so far needs least; the first of equal ones. */
const cheapest = <T extends { readonly search: Search }>(begun: readonly T[]): T =>
  begun.reduce((best, one) => (one.search.least < best.search.least ? one : best));

/** Anneals stage after stage from the best so far. */
async function annealed(
  search: Search,
  options: PlanOptions & { readonly tries: number },
  {
    fills,
    watch,
    report,
    begun: first,
  }: { fills: number; watch: Watch; report: (done: number) => void; begun: number },
): Promise<void> {
  const chance = chanceOf(options.seed ?? 1);
  let begun = first;
  for (const [k, { share, manner, wanting }] of stagesFor(options, options.tries / fills).entries()) {
    if (watch.stopped || !search.best) return;
    const { short } = search;
    // Where something stays unmet after a first search, what leaves least unmet is searched on from.
    const start = (short && k > 0 ? null : search.promising) ?? search.best.lines;
    const heat = { ...(short ? wanting : manner), tries: share * options.tries };
    const from = begun;
    const part = (1 - first) * share;
    await watch.work(search.anneal(start, chance, heat), (done) => report(from + part * done));
    begun += part;
  }
}
