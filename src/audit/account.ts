import { type Demand, demandOf } from '../demand/demand.ts';
import { type Cover, cover, lotsOfFills } from '../plan/cover.ts';
import type { Plan } from '../plan/plan.ts';
import { compile } from '../scenario/problem/compile.ts';
import type { Problem } from '../scenario/problem/types.ts';
import type { Scenario } from '../scenario/schema.ts';
import { auditPlan } from './audit.ts';
import type { AuditOptions, Verdict } from './verdict.ts';

/** What a scenario without error faults means: what a plan of it is made for and judged by. */
export interface Meaning {
  readonly scenario: Scenario;
  /** The scenario in minutes and whole parts; all that follows counts by it. */
  readonly problem: Problem;
  readonly demand: Demand;
}

/**
 * A plan with all that is said of it: the one thing that screens, paper, files and commands receive. No plan is shown
 * without its verdict.
 */
export interface Account extends Meaning {
  readonly plan: Plan;
  /** Which lot serves which round; lots of fills in the order of the plan's activities. */
  readonly covered: Cover;
  readonly verdict: Verdict;
}

/** The meaning of a scenario. @throws where it has error faults: see `faultsOf` */
export function meaningOf(scenario: Scenario): Meaning {
  const problem = compile(scenario);
  return { scenario, problem, demand: demandOf(problem) };
}

/** The account of a plan: its lots served out and every rule judged, needs and score counted anew. */
export function accountOf(meaning: Meaning, plan: Plan, options: AuditOptions = {}): Account {
  const { scenario, problem, demand } = meaning;
  return {
    scenario,
    problem,
    demand,
    plan,
    covered: cover(problem, demand, lotsOfFills(problem, plan.activities)),
    verdict: auditPlan(problem, plan, options),
  };
}
