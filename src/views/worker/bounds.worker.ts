import * as Comlink from 'comlink';
import wasmUrl from 'highs/runtime?url';
import { demandOf } from '../../demand/demand.ts';
import type { Score } from '../../plan/plan.ts';
import { atMost } from '../../planner/plan.ts';
import { leastUnmet, locateHighs, type Proven, provenInSteps } from '../../planner/planner.ts';
import { compile } from '../../scenario/problem/compile.ts';
import type { Scenario } from '../../scenario/schema.ts';

locateHighs(new URL(wasmUrl, import.meta.url).href);

const service = {
  /**
   * @param allowed what the plan reaches that is to be judged
   * @param seconds the solver's own limit for a question
   * @param onStep hears each step; awaited, so that all are told when this ends
   */
  async prove(
    scenario: Scenario,
    allowed: Score,
    seconds: number,
    onStep: (proven: Proven) => void,
  ): Promise<void> {
    const problem = compile(scenario);
    for await (const proven of provenInSteps(problem, demandOf(problem), { allowed, seconds }))
      await onStep(proven);
  },
  /** L that no plan leaves less of: see `ExplainOptions.prove`. */
  async least(scenario: Scenario, probe: number | null, seconds: number): Promise<number | null> {
    const problem = compile(scenario);
    const relaxed = probe === null ? problem : atMost(problem, probe);
    return leastUnmet(relaxed, demandOf(problem), seconds);
  },
};
export type BoundsService = typeof service;

Comlink.expose(service);
