import { renamed } from '../../grid/renamed.ts';
import { asPlan } from '../../plan/asPlan.ts';
import { type Activity, compareScores, NOTHING_PROVEN, type Plan } from '../../plan/plan.ts';
import { lostRemarks, outOfReach, settle, wantsLonger } from '../../planner/plan.ts';
import { gapOf } from '../../reports/summary.ts';
import type { PlanInUse } from '../../scenario/inUse.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { after, type Step, step } from './events.ts';
import { type Baseline, type Meaning, type Planned, sameClock } from './planned.ts';
import type { PairsProgress } from './planning.ts';
import { halt, prove, shown } from './proofRun.ts';
import { heldAt, IDLE, isCurrent, isRecorded, meant, type PlanRun, type Session } from './session.ts';
import { mustWait } from './waiting.ts';

/** How planning is asked for. */
interface Asking {
  /** ms, for further keystrokes to come in */
  readonly wait: number;
  /** Search from the beginning, and keep what is shown unless that is better. */
  readonly anew: boolean;
  /** A person asked for it. */
  readonly asked?: boolean;
  /** Local time of this computer. */
  readonly madeAt: string;
}

/** What says how much can be made, had and kept; an edit keeps the rows that it does not touch. */
const LIMITS = ['machines', 'water', 'shifts', 'stock', 'deliveries', 'supplies', 'rules', 'days'] as const;
const sameLimits = (a: Scenario, b: Scenario): boolean => LIMITS.every((list) => a[list] === b[list]);

const UNPROVEN = { bound: NOTHING_PROVEN, remarks: [] as string[], seconds: 0 };

export const baselineOf = (planned: Planned | null): Baseline | null =>
  planned && { activities: planned.plan.activities, madeAt: planned.madeAt, from: planned.held };

/** Ends what runs and plans again, shortly; with errors, the plan on screen is stale. */
export function planSoon(session: Session, asking: Asking): Step {
  return after(halt(session), (halted) => {
    const meaning = meant(halted);
    if (!meaning) return step(halted, { planning: { ...IDLE, state: 'stale' } });
    const { pending, planned } = halted;
    if (pending && !planned) return goOnWith({ ...halted, pending: null }, meaning, pending, asking);
    return start(halted, meaning, asking);
  });
}

function start(session: Session, meaning: Meaning, { wait, anew, asked = false }: Asking): Step {
  const { planned, searched, lost } = session;
  const { scenario, problem } = meaning;
  // Minutes count from the start: a plan from another one is of no use.
  const before = planned && sameClock(planned.scenario, scenario) ? planned : null;
  const previous = before && renamed(before.scenario, scenario, before.plan.activities);
  const now = heldAt(session);
  const recorded = isRecorded(session);
  const gone = previous && !recorded ? lostRemarks(problem, settle(problem, previous, now).lost) : [];
  const request = {
    scenario,
    previous: previous ?? undefined,
    now,
    // On a recorded day people wait for what to do next: as little as can be moves, and a long search only when asked.
    anew: anew || (!searched && !recorded),
    ...(recorded && { noted: session.record.noted }),
  };
  const number = session.runs + 1;
  // A short search is over before a proof has begun.
  const run: PlanRun = {
    number,
    request,
    long: request.anew || !previous,
    before,
    asked,
    best: null,
    begun: false,
    settled: false,
  };
  return step(
    session,
    {
      runs: number,
      run,
      planning: { ...IDLE, state: 'planning', done: 0 },
      ...(gone.length > 0 && { lost: [...new Set([...lost, ...gone])] }),
    },
    { do: 'plan', run: number, wait, request },
  );
}

/** Shows the plan that a file keeps, as it was left, instead of making one. */
function goOnWith(session: Session, meaning: Meaning, kept: PlanInUse, asking: Asking): Step {
  const { problem } = meaning;
  const now = Math.min(problem.horizon, Math.max(0, problem.clock.minuteOf(kept.now)));
  const plan = asPlan(problem, kept.activities, UNPROVEN);
  const planned = shown({ ...session, baseline: null }, meaning, plan, { held: now, madeAt: asking.madeAt });
  const taken = step(session, {
    planned,
    baseline: baselineOf(planned),
    now,
    holdPast: true,
    searched: true,
    planning: IDLE,
  });
  // The scenario was edited by other means: what still can stay stays. An empty plan breaks no rule, and serves nobody.
  if (planned.verdict.ok && kept.activities.length > 0) return after(taken, prove);
  return after(taken, (now) => planSoon(now, { ...asking, wait: 0, anew: kept.activities.length === 0 }));
}

/** The run under way, if an answer is its own. */
const own = ({ run }: Session, number: number): PlanRun | null => (run?.number === number ? run : null);

/** A search goes on: its best is shown where it is better than what is on screen and does not only move it about. */
export function progressed(session: Session, number: number, progress: PairsProgress, madeAt: string): Step {
  const run = own(session, number);
  const meaning = meant(session);
  if (!run || !meaning) return step(session);
  const { done, score, begun, settled } = progress;
  const told = step(session, {
    run: { ...run, begun, settled },
    planning: { state: 'planning', done, score, failure: null },
  });
  const better = after(told, (now) => foundMeanwhile(now, meaning, progress, madeAt));
  return after(better, (now) => (isDue(now, settled && !run.settled) ? prove(now) : step(now)));
}

/** What a search has found so far goes on screen, or is kept for its end. */
function foundMeanwhile(
  session: Session,
  meaning: Meaning,
  { score, activities }: PairsProgress,
  madeAt: string,
): Step {
  const { planned } = session;
  const run = session.run!;
  const current = isCurrent(session);
  if (current && planned && compareScores(score, planned.plan.score) >= 0) return step(session);
  const found = { run: { ...run, best: activities } };
  // With a plan before, only what is kept of it (told first) is shown meanwhile: the search moves much.
  if (run.before && current) return step(session, found);
  const plan = asPlan(meaning.problem, activities, UNPROVEN);
  const better = shown(session, meaning, plan, { held: run.request.now, madeAt });
  return step(session, mustWait(session, better) ? found : { ...found, planned: better });
}

/**
 * Whether it is time for a proof, which need not wait for the searches' end: once their short first stages are over, and before
 * where the plan on screen leaves nothing unmet that a fill could serve.
 */
function isDue(session: Session, justSettled: boolean): boolean {
  const { run, planned, proving } = session;
  if (!run?.long || !planned || !isCurrent(session)) return false;
  if (justSettled) return true;
  return run.begun && !proving && gapOf(planned.plan).litres === 0;
}

/** The run's plan goes on screen; one found in a short search may be worth a long one. */
export function runEnded(session: Session, number: number, plan: Plan, madeAt: string): Step {
  const run = own(session, number);
  const meaning = meant(session);
  if (!run || !meaning) return step(session);
  const planned = shown(session, meaning, plan, { held: run.request.now, madeAt });
  // What answers an edit or an entry is awaited: what stood meanwhile was only the plan before, put right.
  const awaited = run.asked || (run.before !== null && run.before.problem !== meaning.problem);
  const waits = !awaited && mustWait(session, planned);
  const baseline = session.baseline ?? baselineOf(waits ? session.planned : planned);
  const told = step(session, {
    run: { ...run, best: null },
    ...(waits ? { waiting: planned } : { planned }),
    planning: IDLE,
    searched: true,
    quick: !run.long,
    baseline,
  });
  return after(told, (now) =>
    goesOn(run, meaning, plan) ? planSoon(now, { wait: 0, anew: true, madeAt }) : prove(now),
  );
}

function goesOn({ before, request }: PlanRun, { scenario, problem, demand }: Meaning, plan: Plan): boolean {
  if (!before || !request.previous || request.anew) return false;
  const than = { ...before.plan, activities: request.previous };
  const lost = outOfReach(problem, demand, request.now).unmetParts / problem.partsPerLitre;
  // Of a day under way only what is short is worth a longer search: nobody's list moves for less.
  if (request.noted) return plan.score.unmetLitres > lost + 1e-6;
  return wantsLonger(than, plan, !sameLimits(before.scenario, scenario), lost);
}

export function runFailed(session: Session, number: number, failure: string): Step {
  if (!own(session, number)) return step(session);
  return step(session, { run: null, planning: { ...IDLE, state: 'stale', failure } });
}

/** Ends the search and keeps the best plan so far. */
export function cancelled(session: Session, madeAt: string): Step {
  const { run } = session;
  const meaning = meant(session);
  const kept =
    run?.best && meaning ? withBest(session, meaning, { ...run, best: run.best }, madeAt) : step(session);
  const halted = after(kept, (now) => after(halt(now), (rested) => step(rested, { waiting: now.waiting })));
  return after(halted, (now) => {
    const current = isCurrent(now);
    const told = step(now, { planning: { ...IDLE, state: current ? 'idle' : 'stale' }, searched: false });
    return current ? after(told, prove) : told;
  });
}
function withBest(
  session: Session,
  meaning: Meaning,
  run: PlanRun & { best: readonly Activity[] },
  madeAt: string,
): Step {
  const plan = asPlan(meaning.problem, run.best, { ...UNPROVEN, remarks: [CANCELLED] });
  const planned = shown(session, meaning, plan, { held: run.request.now, madeAt });
  return step(session, mustWait(session, planned) ? { waiting: planned } : { planned });
}
const CANCELLED = 'The best plan when planning was cancelled.';
