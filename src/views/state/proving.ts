import * as Comlink from 'comlink';
import type { Score } from '../../plan/plan.ts';
import { cutShort, type Proven } from '../../planner/planner.ts';
import type { Scenario } from '../../scenario/schema.ts';
import type { BoundsService } from '../worker/bounds.worker.ts';
import { openThread, type Thread } from './thread.ts';

/** s, of the whole proof. A solver that is not done by then is ended: it may hang. */
const WAIT = 40;
/** s, of one answer of `openLeast`: a relaxation alone. */
const LEAST_WAIT = 15;
/** s, of the solver's own clock, for each of the questions that it is asked. */
const QUESTION = 10;

/** Proves what no plan can do better than, on a thread of its own: the plan is shown meanwhile. */
interface Prover {
  /** `step` may come before the end; then comes exactly one of `done` and `failed`, unless stopped before. */
  start(
    scenario: Scenario,
    allowed: Score,
    told: {
      readonly step: (proven: Proven) => void;
      /** Also when the solver was ended with something proven: a remark says so. */
      readonly done: (proven: Proven) => void;
      /** Nothing was proven. */
      readonly failed: (why: string) => void;
    },
  ): void;
  /** Ends what runs; its listener hears nothing more. */
  stop(): void;
}

const boundsWorker = () =>
  new Worker(new URL('../worker/bounds.worker.ts', import.meta.url), { type: 'module' });

/** @param wait s, after which a proof is given up */
export function makeProver(makeWorker: () => Worker = boundsWorker, wait = WAIT): Prover {
  let thread: Thread<BoundsService> | null = null;
  let watch: ReturnType<typeof setTimeout> | undefined;
  let busy = false;
  let run = 0;
  const stop = () => {
    run += 1;
    clearTimeout(watch);
    // An idle thread is kept: the solver's start-up is paid once.
    if (busy) {
      thread?.end();
      thread = null;
    }
    busy = false;
  };
  return {
    stop,
    start(scenario, allowed, told) {
      stop();
      const mine = run;
      let proven: Proven | null = null;
      const fail = (why: string) => {
        if (mine !== run) return;
        stop();
        if (proven) told.done(cutShort(proven, why));
        else told.failed(why);
      };
      const failure = (error: unknown) =>
        fail(`the solver failed (${error instanceof Error ? error.message : String(error)})`);
      thread ??= openThread(makeWorker);
      thread.worker.onerror = (event) => failure(event.message || 'it could not start');
      busy = true;
      watch = setTimeout(() => fail(`the solver was not done within ${wait} s`), wait * 1000);
      const onStep = Comlink.proxy((step: Proven) => {
        if (mine !== run) return;
        proven = step;
        // A number that jumps in a moment helps nobody: the plain count is for when nothing better comes.
        if (!step.rough) told.step(step);
      });
      thread.service.prove(scenario, allowed, QUESTION, onStep).then(() => {
        if (mine !== run) return;
        if (!proven) return fail('the solver gave no answer');
        busy = false;
        clearTimeout(watch);
        told.done(proven);
      }, failure);
    },
  };
}

/** Answers `ExplainOptions.prove`, on a thread of its own; nothing is proven any more once the solver fails or hangs. */
export function openLeast(
  scenario: Scenario,
  makeWorker: () => Worker = boundsWorker,
  wait = LEAST_WAIT,
): { readonly least: (probe: number | null) => Promise<number | null>; readonly end: () => void } {
  let thread: Thread<BoundsService> | null = null;
  let over = false;
  const end = () => {
    over = true;
    thread?.end();
  };
  const least = (probe: number | null) =>
    new Promise<number | null>((resolve) => {
      const fail = () => {
        end();
        resolve(null);
      };
      if (over) return fail();
      thread ??= openThread(makeWorker);
      const { worker, service } = thread;
      const watch = setTimeout(fail, wait * 1000);
      worker.onerror = fail;
      service
        .least(scenario, probe, QUESTION)
        .then(resolve, fail)
        .finally(() => clearTimeout(watch));
    });
  return { least, end };
}
