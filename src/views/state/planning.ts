import * as Comlink from 'comlink';
import { compareScores, type Plan } from '../../plan/plan.ts';
import {
  type ClinicalWay,
  type Course,
  contest,
  courseFor,
  doneOfAll,
  type Shortage,
} from '../../planner/plan.ts';
import type { Progress } from '../../planner/planner.ts';
import type { Scenario } from '../../scenario/schema.ts';
import type { ByHand, ClinicalHeard, ExplainHeard, PlanRequest, PlanService } from '../worker/plan.worker.ts';
import { openHelpers } from './helpers.ts';
import { openLeast } from './proving.ts';
import { openThread, type Thread } from './thread.ts';

/**
 * `begun`: both searches have tried their starts, so a plan that serves all that can be served is worth proving bounds for.
 * `settled`: their short first stages are over, and what they found is worth it in any case.
 */
export type PairsProgress = Progress & { readonly begun: boolean; readonly settled: boolean };

/** Share of the first searches that their starts take. */
const STARTS = 0.05;

/** Share of the first searches that their short first stages take, and a little more. */
const FIRST_STAGES = 0.2;

/** What a run of the planner tells while it goes on and when it ends; done or failed comes once, byHand may follow done. */
export interface Listener {
  readonly progress: (progress: PairsProgress) => void;
  readonly done: (plan: Plan) => void;
  readonly byHand: (byHand: ByHand) => void;
  readonly failed: (message: string) => void;
}

/** One planner at a time, on a thread of its own: asking again ends what still runs. */
interface PlanRunner {
  start(request: PlanRequest, listener: Listener): void;
  /** Ends the run; its listener hears nothing more. */
  stop(): void;
  /** No better plan is there to be found: the pair of searches under way is the run's last. */
  endSoon(): void;
}

const planWorker = () => new Worker(new URL('../worker/plan.worker.ts', import.meta.url), { type: 'module' });

export function makeRunner(makeWorker: () => Worker = planWorker): PlanRunner {
  let thread: Thread<PlanService> | null = null;
  /** For a second search beside a long one. */
  let second: Thread<PlanService> | null = null;
  let busy = false;
  let run = 0;
  let isBest = false;
  const stop = () => {
    run += 1;
    isBest = false;
    // Idle workers are kept. In the place of a busy one the next is started at once, to be ready when it is asked.
    if (busy) {
      thread?.end();
      second?.end();
      thread = openThread(makeWorker);
      second = null;
    }
    busy = false;
  };
  return {
    stop,
    endSoon() {
      isBest = true;
    },
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
      const long = request.anew === true || !request.previous;
      const drawn = spaced();
      const tell = (progress: PairsProgress) => {
        // Progress comes through ports of its own and may arrive after the plan.
        if (current() && !planned && drawn(progress)) listener.progress(progress);
      };
      const pairs = () => {
        const told = together(tell);
        const pair: Parameters<typeof contest>[1] = async ([own, others], round, course) => {
          // A stopped run asks nothing more: its threads may be another run's by now.
          if (!current()) return new Promise(() => undefined);
          const rival = askRival({ ...request, ...others }, told(round, course, 1));
          const first = await service.plan({ ...request, ...own }, Comlink.proxy(told(round, course, 0)));
          const answer = await rival;
          if (typeof answer === 'string' && current()) {
            second?.end();
            second = null;
          }
          return [first, answer];
        };
        return contest(1, pair, { best: () => isBest });
      };
      const go = async () => {
        const alone = Comlink.proxy((progress: Progress) =>
          tell({ ...progress, begun: false, settled: false }),
        );
        const made = long ? await pairs() : await service.plan(request, alone);
        if (!current()) return;
        planned = true;
        listener.done(made);
        const byHand = await service.byHand(request.scenario);
        if (!current()) return;
        busy = false;
        listener.byHand(byHand);
      };
      go().catch(fail);
    },
  };

  /** The second search's plan, or why there is none; never rejects. */
  function askRival(request: PlanRequest, told: (progress: Progress) => void): Promise<Plan | string> {
    second ??= openThread(makeWorker);
    const { worker, service } = second;
    return new Promise((resolve) => {
      worker.onerror = (event) => resolve(event.message || 'it could not start');
      service
        .plan(request, Comlink.proxy(told))
        .then(resolve, (error: unknown) => resolve(error instanceof Error ? error.message : String(error)));
    });
  }
}

/** ms between two drawings of the bar alone. */
const BAR_MS = 40;

/**
 * Which progress is worth a drawing: any better plan, and the bar so often at most. A small unit's search tells faster
 * than a page draws, and the page must not fall behind it.
 */
function spaced() {
  let last: PairsProgress | null = null;
  let at = 0;
  return (progress: PairsProgress): boolean => {
    const same =
      last !== null &&
      last.begun === progress.begun &&
      last.settled === progress.settled &&
      compareScores(last.score, progress.score) === 0;
    const now = performance.now();
    if (same && now - at < BAR_MS) return false;
    last = progress;
    at = now;
    return true;
  };
}

/** Progress of searches in pairs as one: the best plan of all, and as much done of all rounds as by the slower of a pair. */
function together(told: (progress: PairsProgress) => void) {
  const done = [0, 0];
  let shown = 0;
  let best: Progress | null = null;
  return (round: number, course: Course | null, search: 0 | 1) => {
    done[search] = 0;
    return (progress: Progress) => {
      done[search] = progress.done;
      if (!best || compareScores(progress.score, best.score) < 0) best = progress;
      const least = Math.min(...done);
      // How many pairs there will be is a guess in the first, and a bar does not go back.
      shown = Math.max(shown, doneOfAll(round, least, course ?? courseFor(best, best)));
      told({
        ...best,
        done: shown,
        begun: round > 0 || least >= STARTS,
        settled: round > 0 || least >= FIRST_STAGES,
      });
    };
  };
}

/**
 * A question to a thread of its own: its end is told once, and after `stop` never.
 * @param unstarted what is said when the thread could not start
 * @param close what else ends with it
 */
function openQuestion(failed: (message: string) => void, unstarted: string, close = () => {}) {
  // Kept whole for as long as it can be stopped: see `Thread`.
  const thread = openThread<PlanService>(planWorker);
  let over = false;
  const stop = () => {
    over = true;
    thread.end();
    close();
  };
  const end = (act: () => void) => {
    if (over) return;
    stop();
    act();
  };
  const fail = (error: unknown) => end(() => failed(error instanceof Error ? error.message : String(error)));
  thread.worker.onerror = (event) => fail(event.message || unstarted);
  return { service: thread.service, stop, end, fail, isOver: () => over };
}

/** Asks a thread of its own what would clear a plan's shortages; `stop` ends it, and then the answer never comes. */
export function askWhy(
  scenario: Scenario,
  plan: Plan,
  told: {
    readonly progress: (replans: number) => void;
    /** One of them, before all are done. */
    readonly shortage: (shortage: Shortage) => void;
    readonly done: (shortages: Shortage[]) => void;
    readonly failed: (message: string) => void;
  },
): () => void {
  const prover = openLeast(scenario);
  const helpers = openHelpers(scenario, (why) => fail(why));
  const { service, stop, end, fail, isOver } = openQuestion(
    told.failed,
    'the explanation could not start',
    () => {
      prover.end();
      helpers.end();
    },
  );
  const heard: ExplainHeard = {
    progress: told.progress,
    // Comes through a port of its own, and may come after the end.
    shortage: (shortage) => isOver() || told.shortage(shortage),
    prove: prover.least,
    relaxed: (relaxed, how) => helpers.ask((helper) => helper.relaxed(relaxed, how)),
  };
  service
    .explain(scenario, plan, helpers.threads, Comlink.proxy(heard))
    .then((shortages) => end(() => told.done(shortages)), fail);
  return stop;
}

/** Asks a thread of its own for the clinical ways out of a plan's shortages; `stop` ends it, and then nothing more is told. */
export function askClinical(
  scenario: Scenario,
  plan: Plan,
  told: {
    readonly way: (way: ClinicalWay) => void;
    readonly done: () => void;
    readonly failed: (message: string) => void;
  },
): () => void {
  const helpers = openHelpers(scenario, (why) => fail(why));
  const question = openQuestion(told.failed, 'the search could not start', helpers.end);
  const { service, stop, end, fail, isOver } = question;
  const heard: ClinicalHeard = {
    way: (way) => isOver() || told.way(way),
    changed: (changed, how) => helpers.ask((helper) => helper.changed(changed, how)),
  };
  service.clinical(scenario, plan, helpers.threads, Comlink.proxy(heard)).then(() => end(told.done), fail);
  return stop;
}
