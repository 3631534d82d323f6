import * as Comlink from 'comlink';
import type { Plan } from '../plan/plan.ts';
import type { Progress } from '../planner/planner.ts';
import type { PlanRequest, PlanService } from './worker/plan.worker.ts';

/** What a run of the planner tells while it goes on and when it ends; exactly one of done and failed comes last. */
export interface Listener {
  readonly progress: (progress: Progress) => void;
  readonly done: (plan: Plan) => void;
  readonly failed: (message: string) => void;
}

/** One planner at a time, on a thread of its own: asking again ends what still runs. */
export interface PlanRunner {
  start(request: PlanRequest, listener: Listener): void;
  /** Ends the run; its listener hears nothing more. */
  stop(): void;
}

export function makeRunner(): PlanRunner {
  let worker: Worker | null = null;
  let busy = false;
  let run = 0;
  const stop = () => {
    run += 1;
    // An idle worker is kept: its start-up (and the solver's) is paid once.
    if (busy) {
      worker?.terminate();
      worker = null;
    }
    busy = false;
  };
  return {
    stop,
    start(request, listener) {
      stop();
      const mine = run;
      const settle = (act: () => void) => {
        if (mine !== run) return;
        busy = false;
        act();
      };
      worker ??= new Worker(new URL('./worker/plan.worker.ts', import.meta.url), { type: 'module' });
      worker.onerror = (event) =>
        settle(() => listener.failed(event.message || 'the planner could not start'));
      busy = true;
      const onProgress = Comlink.proxy((progress: Progress) => {
        if (mine === run) listener.progress(progress);
      });
      Comlink.wrap<PlanService>(worker)
        .plan(request, onProgress)
        .then(
          (plan) => settle(() => listener.done(plan)),
          (error: unknown) =>
            settle(() => listener.failed(error instanceof Error ? error.message : String(error))),
        );
    },
  };
}
