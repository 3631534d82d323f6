import * as Comlink from 'comlink';
import { asPlan } from '../../plan/asPlan.ts';
import { type Activity, NOTHING_PROVEN, type Plan, type Score } from '../../plan/plan.ts';
import {
  type AgainHow,
  type ClinicalWay,
  clinicalWays,
  explainNeeds,
  planByHand,
  planOn,
  type Relaxed,
  replan,
  type Shortage,
} from '../../planner/plan.ts';
import type { PlanOptions, Progress } from '../../planner/planner.ts';
import { startAt } from '../../record/from.ts';
import type { Noted } from '../../record/journal.ts';
import { overdueIn } from '../../record/overdue.ts';
import { compile } from '../../scenario/problem/compile.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { whenText } from '../../words/times.ts';
import type { InTime } from './relief.worker.ts';

/** What the planner is asked for; plain data, since it crosses to another thread. */
export interface PlanRequest {
  readonly scenario: Scenario;
  readonly previous?: readonly Activity[];
  /** What was done, of a recorded day: planning goes on from what it leaves at `now`. */
  readonly noted?: readonly Noted[];
  /** min from the start; what `previous` started before it stays. */
  readonly now?: number;
  /** Search from the beginning, as for a first plan; `previous` stays unless that finds a better one. */
  readonly anew?: boolean;
  /** See `PlanOptions`. */
  readonly seed?: number;
  readonly cool?: boolean;
  readonly from?: readonly Activity[];
  readonly lines?: PlanOptions['lines'];
}
export interface ByHand {
  readonly activities: readonly Activity[];
  readonly score: Score;
}

/** s, from which on what would clear a shortage is looked into by quick plans alone, and at which all is told. */
const HURRY = 8;
const OVER = 18;

/** s left of so many since this was made. */
function clockOf(): (seconds: number) => number {
  const began = performance.now();
  return (seconds) => seconds - (performance.now() - began) / 1000;
}

/** Who asked for explanations, and plans for them. */
export interface ExplainHeard {
  progress(replans: number): unknown;
  shortage(shortage: Shortage): unknown;
  prove(probe: number | null): Promise<number | null>;
  relaxed(relaxed: Omit<Relaxed, 'problem'>, how: InTime): Promise<Plan | null>;
}
export interface ClinicalHeard {
  way(way: ClinicalWay): unknown;
  changed(scenario: Scenario, how: InTime): Promise<Plan | null>;
}

const service = {
  plan(request: PlanRequest, onProgress: (progress: Progress) => void): Promise<Plan> {
    const { scenario, noted, ...options } = request;
    const how = { ...options, clock: () => performance.now(), onProgress };
    if (!noted) return replan(compile(scenario), how);
    // What has begun ends inside its real window; of the plan before, what is still to begin stays where it can.
    const { now = 0, previous = [] } = options;
    const { problem, underWay, state } = startAt(scenario, noted, now, previous);
    return planOn(problem, { ...how, underWay, overdue: overdueIn(previous, state) });
  },
  /** The plan that a careful person makes without a computer, to stand beside ours. */
  byHand(scenario: Scenario): ByHand {
    const problem = compile(scenario);
    const made = asPlan(problem, planByHand(problem), {
      bound: NOTHING_PROVEN,
      remarks: [],
      seconds: 0,
    });
    return { activities: made.activities, score: made.score };
  },
  /** The clinical ways out of a plan's shortages, told as they come; plans about a dozen times, quickly, on other threads. */
  async clinical(scenario: Scenario, made: Plan, threads: number, heard: ClinicalHeard): Promise<void> {
    const left = clockOf();
    const plan = async (changed: Scenario, how: AgainHow) =>
      (await heard.changed(changed, { ...how, seconds: Math.max(0, left(OVER)) })) ?? made;
    const stop = () => left(OVER) < 0;
    // Each is on its way before the end is told.
    const ways = clinicalWays(scenario, made, replan, { stop, elsewhere: { threads, plan } });
    for await (const way of ways) await heard.way(way);
  },
  /**
   * What would have covered each need that the plan leaves unmet; plans again and again, on other threads.
   * @param threads that plan at a time
   */
  explain: (scenario: Scenario, made: Plan, threads: number, heard: ExplainHeard): Promise<Shortage[]> => {
    const problem = compile(scenario);
    const left = clockOf();
    return explainNeeds(problem, made, replan, {
      hurry: () => left(HURRY) < 0,
      stop: () => left(OVER) < 0,
      onProgress: (replans) => void heard.progress(replans),
      onShortage: (shortage) => void heard.shortage(shortage),
      prove: (probe) => heard.prove(probe),
      when: (minute) => whenText(problem.clock, minute),
      elsewhere: {
        threads,
        // A closer look goes on from a plan: it is given up as soon as time is short.
        plan: (relaxed, how) =>
          heard.relaxed(relaxed, { ...how, seconds: Math.max(0, left(how.from ? HURRY : OVER)) }),
      },
    });
  },
};
export type PlanService = typeof service;

Comlink.expose(service);
