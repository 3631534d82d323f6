import * as Comlink from 'comlink';
import type { Plan } from '../plan/plan.ts';
import type { Shortage } from '../planner/explain.ts';
import type { Progress } from '../planner/planner.ts';
import type { Scenario } from '../scenario/schema.ts';
import { openThread, type Thread } from './thread.ts';
import type { ByHand, PlanRequest, PlanService } from './worker/plan.worker.ts';

/** What a run of the planner tells while it goes on and when it ends; done or failed comes once, byHand may follow done. */
export interface Listener {
  readonly progress: (progress: Progress) => void;
  readonly done: (plan: Plan) => void;
  readonly byHand: (byHand: ByHand) => void;
  readonly failed: (message: string) => void;
}

/** One planner at a time, on a thread of its own: asking again ends what still runs. */
export interface PlanRunner {
  start(request: PlanRequest, listener: Listener): void;
  /** Ends the run; its listener hears nothing more. */
  stop(): void;
}

const planWorker = () => new Worker(new URL('./worker/plan.worker.ts', import.meta.url), { type: 'module' });

export function makeRunner(makeWorker: () => Worker = planWorker): PlanRunner {
  let thread: Thread<PlanService> | null = null;
  let busy = false;
  let run = 0;
  const stop = () => {
    run += 1;
    // An idle worker is kept. In the place of a busy one the next is started at once, to be ready when it is asked.
    if (busy) {
      thread?.worker.terminate();
      thread = openThread(makeWorker);
    }
    busy = false;
  };
  return {
    stop,
    start(request, listener) {
      stop();
      const mine = run;
      const current = () => mine === run;
      const fail = (error: unknown) => {
        if (!current()) return;
        stop();
        listener.failed(error instanceof Error ? error.message : String(error));
      };
      thread ??= openThread(makeWorker);
      const { worker, service } = thread;
      worker.onerror = (event) => fail(event.message || 'the planner could not start');
      busy = true;
      let planned = false;
      // Progress comes through a port of its own and may arrive after the plan.
      const onProgress = Comlink.proxy((progress: Progress) => {
        if (current() && !planned) listener.progress(progress);
      });
      const go = async () => {
        const plan = await service.plan(request, onProgress);
        if (!current()) return;
        planned = true;
        listener.done(plan);
        const byHand = await service.byHand(request.scenario);
        if (!current()) return;
        busy = false;
        listener.byHand(byHand);
      };
      go().catch(fail);
    },
  };
}

/** Asks a thread of its own what would clear a plan's shortages; `stop` ends it, and then the answer never comes. */
export function askWhy(
  scenario: Scenario,
  plan: Plan,
  told: {
    readonly progress: (replans: number) => void;
    readonly done: (shortages: Shortage[]) => void;
    readonly failed: (message: string) => void;
  },
): () => void {
  const thread = openThread<PlanService>(planWorker);
  let over = false;
  const stop = () => {
    over = true;
    thread.worker.terminate();
  };
  const end = (act: () => void) => {
    if (over) return;
    stop();
    act();
  };
  const fail = (error: unknown) =>
    end(() => told.failed(error instanceof Error ? error.message : String(error)));
  thread.worker.onerror = (event) => fail(event.message || 'the explanation could not start');
  thread.service
    .explain(scenario, plan, Comlink.proxy(told.progress))
    .then((shortages) => end(() => told.done(shortages)), fail);
  return stop;
}
