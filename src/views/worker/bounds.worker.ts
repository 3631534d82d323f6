import * as Comlink from 'comlink';
import wasmUrl from 'highs/runtime?url';
import { demandOf } from '../../demand/demand.ts';
import type { Bound, Score } from '../../plan/plan.ts';
import { boundsOf } from '../../planner/bounds.ts';
import { locateHighs } from '../../planner/highs.ts';
import { compile } from '../../scenario/problem.ts';
import type { Scenario } from '../../scenario/schema.ts';

locateHighs(new URL(wasmUrl, import.meta.url).href);

/** What no plan can do better than; see `boundsOf`. */
export interface Proven extends Bound {
  readonly remarks: readonly string[];
}

const service = {
  /** @param allowed what the plan reaches that is to be judged; @param seconds the solver's own limit for a question */
  async prove(scenario: Scenario, allowed: Score, seconds: number): Promise<Proven> {
    const problem = compile(scenario);
    const { unmetLitres, handsOnMinutes, remarks } = await boundsOf(problem, demandOf(problem), {
      allowed,
      seconds,
    });
    return { unmetLitres, handsOnMinutes, remarks };
  },
};
export type BoundsService = typeof service;

Comlink.expose(service);
