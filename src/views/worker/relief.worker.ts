import * as Comlink from 'comlink';
import type { Plan } from '../../plan/plan.ts';
import { type AgainHow, DutyFault, type Relaxed, relaxedBy, replan } from '../../planner/plan.ts';
import { compile } from '../../scenario/problem/compile.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Scenario } from '../../scenario/schema.ts';

/** How a plan is made again, in so many seconds at most. */
export interface InTime extends AgainHow {
  readonly seconds: number;
}

/** Null where a duty finds no place: then it is no way out. */
const planned = (problem: Problem, how: InTime): Promise<Plan | null> =>
  replan(problem, { ...how, clock: () => performance.now() }).catch((error: unknown) => {
    if (error instanceof DutyFault) return null;
    throw error;
  });

/** Plans one scenario again and again, each time with something changed: it is read once. */
class Helper {
  private problem: Problem | null = null;

  begin(scenario: Scenario): void {
    this.problem = compile(scenario);
  }
  relaxed(relaxed: Omit<Relaxed, 'problem'>, how: InTime): Promise<Plan | null> {
    return planned(relaxedBy(this.problem!, relaxed), how);
  }
  changed(scenario: Scenario, how: InTime): Promise<Plan | null> {
    return planned(compile(scenario), how);
  }
}
export type HelperService = Helper;

Comlink.expose(new Helper());
