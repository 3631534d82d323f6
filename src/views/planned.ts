import { auditPlan } from '../audit/audit.ts';
import type { Verdict } from '../audit/verdict.ts';
import type { Demand } from '../demand/demand.ts';
import { type Cover, cover, lotsOfFills } from '../plan/cover.ts';
import { type Activity, type Plan, placeOf } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem.ts';
import type { Scenario } from '../scenario/schema.ts';

/** A plan as it is shown: judged, with its cover, and with the scenario it answers (an edit may have moved on since). */
export interface Planned {
  readonly scenario: Scenario;
  readonly problem: Problem;
  readonly demand: Demand;
  readonly plan: Plan;
  readonly covered: Cover;
  readonly verdict: Verdict;
  /** Local time of this computer when it was made, e.g. 2031-02-03 06:12. */
  readonly madeAt: string;
  /** Indexes of activities that the plan before did not have; empty for a first plan. */
  readonly moved: ReadonlySet<number>;
}

const sign = (activity: Activity): string =>
  `${activity.kind} ${placeOf(activity)} ${activity.start} ${activity.end} ${'bath' in activity ? activity.bath : ''}`;

const two = (number: number): string => String(number).padStart(2, '0');
const localTime = (date: Date): string =>
  `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())} ${two(date.getHours())}:${two(date.getMinutes())}`;

/** No plan is shown unjudged: the audit counts needs and score anew and looks at every rule. */
export function judgePlan(
  scenario: Scenario,
  problem: Problem,
  demand: Demand,
  plan: Plan,
  before: Plan | null,
): Planned {
  const known = before && new Set(before.activities.map(sign));
  const moved = plan.activities.flatMap((activity, index) =>
    known?.has(sign(activity)) === false ? [index] : [],
  );
  return {
    scenario,
    problem,
    demand,
    plan,
    covered: cover(problem, demand, lotsOfFills(problem, plan.activities)),
    verdict: auditPlan(problem, plan),
    madeAt: localTime(new Date()),
    moved: new Set(moved),
  };
}
