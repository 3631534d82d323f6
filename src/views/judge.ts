import { type Demand, demandOf } from '../demand/demand.ts';
import { compile, type Problem } from '../scenario/problem.ts';
import type { Scenario } from '../scenario/schema.ts';

export interface Fault {
  readonly level: 'error' | 'warning';
  readonly path: readonly (string | number)[];
  readonly message: string;
}

/** What a scenario means right now: its faults and, when none is an error, its problem and demand. */
export interface Judged {
  readonly faults: readonly Fault[];
  readonly problem: Problem | null;
  readonly demand: Demand | null;
}

/** Runs on every keystroke; unchanged patients cost nothing (see `compile` and `demandOf`). */
export function judge(scenario: Scenario): Judged {
  const problem = compile(scenario);
  return { faults: [], problem, demand: demandOf(problem) };
}
