import * as Comlink from 'comlink';
import { asPlan } from '../../plan/asPlan.ts';
import { type Activity, NOTHING_PROVEN, type Plan, type Score } from '../../plan/plan.ts';
import {
  type ClinicalWay,
  clinicalWays,
  explainNeeds,
  planByHand,
  planOn,
  replan,
  type Shortage,
} from '../../planner/plan.ts';
import type { Progress } from '../../planner/planner.ts';
import { startAt } from '../../record/from.ts';
import type { Noted } from '../../record/journal.ts';
import { compile } from '../../scenario/problem/compile.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { whenText } from '../../words/times.ts';

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
}
export interface ByHand {
  readonly activities: readonly Activity[];
  readonly score: Score;
}

/** s, from which on what would clear a shortage is looked into by quick plans alone, and at which all is told. */
const HURRY = 8;
const OVER = 18;

const service = {
  plan(request: PlanRequest, onProgress: (progress: Progress) => void): Promise<Plan> {
    const { scenario, noted, ...options } = request;
    const how = { ...options, clock: () => performance.now(), onProgress };
    if (!noted) return replan(compile(scenario), how);
    // What has begun ends inside its real window; of the plan before, what is still to begin stays where it can.
    const { problem, underWay } = startAt(scenario, noted, options.now ?? 0);
    return planOn(problem, { ...how, underWay });
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
  /** The clinical ways out of a plan's shortages, told as they come; plans about a dozen times, quickly. */
  async clinical(scenario: Scenario, made: Plan, onWay: (way: ClinicalWay) => unknown): Promise<void> {
    const began = performance.now();
    const stop = () => performance.now() - began > OVER * 1000;
    // Each is on its way before the end is told.
    for await (const way of clinicalWays(scenario, made, replan, { stop })) await onWay(way);
  },
  /** What would have covered each need that the plan leaves unmet; plans again and again, so it takes its time. */
  explain: (
    scenario: Scenario,
    made: Plan,
    onProgress: (replans: number) => void,
    onShortage: (shortage: Shortage) => void,
    prove: (probe: number | null) => Promise<number | null>,
  ): Promise<Shortage[]> => {
    const problem = compile(scenario);
    const began = performance.now();
    const after = (seconds: number) => () => performance.now() - began > seconds * 1000;
    return explainNeeds(problem, made, replan, {
      hurry: after(HURRY),
      stop: after(OVER),
      onProgress,
      onShortage,
      prove,
      when: (minute) => whenText(problem.clock, minute),
    });
  },
};
export type PlanService = typeof service;

Comlink.expose(service);
