import * as Comlink from 'comlink';
import type { Activity, Plan } from '../../plan/plan.ts';
import { plan } from '../../planner/plan.ts';
import type { Progress } from '../../planner/planner.ts';
import { compile } from '../../scenario/problem.ts';
import type { Scenario } from '../../scenario/schema.ts';

/** What the planner is asked for; plain data, since it crosses to another thread. */
export interface PlanRequest {
  readonly scenario: Scenario;
  readonly previous?: readonly Activity[];
  /** min from the start; what `previous` started before it stays. */
  readonly now?: number;
  readonly seconds?: number;
}

const service = {
  plan: ({ scenario, ...options }: PlanRequest, onProgress: (progress: Progress) => void): Promise<Plan> =>
    plan(compile(scenario), { ...options, clock: () => performance.now(), onProgress }),
};
export type PlanService = typeof service;

Comlink.expose(service);
