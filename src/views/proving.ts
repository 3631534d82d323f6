import * as Comlink from 'comlink';
import type { Score } from '../plan/plan.ts';
import type { Scenario } from '../scenario/schema.ts';
import type { BoundsService, Proven } from './worker/bounds.worker.ts';

/** s, of the whole proof. A solver that has not answered by then is ended: it may hang. */
const WAIT = 30;
/** s, of the solver's own clock, for each of the questions that it is asked. */
const QUESTION = 6;

/** Proves what no plan can do better than, on a thread of its own: the plan is shown meanwhile. */
export interface Prover {
  /** Exactly one of both is called, unless stopped before. */
  start(
    scenario: Scenario,
    allowed: Score,
    told: { readonly done: (proven: Proven) => void; readonly failed: (why: string) => void },
  ): void;
  /** Ends what runs; its listener hears nothing more. */
  stop(): void;
}

const boundsWorker = () =>
  new Worker(new URL('./worker/bounds.worker.ts', import.meta.url), { type: 'module' });

/** @param wait s, after which a proof is given up */
export function makeProver(makeWorker: () => Worker = boundsWorker, wait = WAIT): Prover {
  let worker: Worker | null = null;
  let watch: ReturnType<typeof setTimeout> | undefined;
  let busy = false;
  let run = 0;
  const stop = () => {
    run += 1;
    clearTimeout(watch);
    // An idle thread is kept: the solver's start-up is paid once.
    if (busy) {
      worker?.terminate();
      worker = null;
    }
    busy = false;
  };
  return {
    stop,
    start(scenario, allowed, told) {
      stop();
      const mine = run;
      const fail = (why: string) => {
        if (mine !== run) return;
        stop();
        told.failed(why);
      };
      const failure = (error: unknown) =>
        fail(`the solver failed (${error instanceof Error ? error.message : String(error)})`);
      worker ??= makeWorker();
      worker.onerror = (event) => failure(event.message || 'it could not start');
      busy = true;
      watch = setTimeout(() => fail(`the solver did not answer within ${wait} s`), wait * 1000);
      Comlink.wrap<BoundsService>(worker)
        .prove(scenario, allowed, QUESTION)
        .then((proven) => {
          if (mine !== run) return;
          busy = false;
          clearTimeout(watch);
          told.done(proven);
        }, failure);
    },
  };
}
