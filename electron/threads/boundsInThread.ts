import { Worker } from 'node:worker_threads';
import type { Score } from '../../src/plan/plan.ts';
import { cutShort, type Proven } from '../../src/planner/planner.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

export interface BoundsQuestion {
  readonly scenario: Scenario;
  /** What the plan reaches that is to be judged. */
  readonly allowed: Score;
  /** The solver's own limit for each of its questions, s. */
  readonly seconds: number;
}

/** A thread that proves bounds, so that a solver that hangs or crashes cannot take the plan with it. */
interface BoundsThread {
  /**
   * Never rejects: after a crash, or when the solver is not done within `seconds`, a remark says so, and the bounds are
   * what was proven by then or 0. To be asked once; the thread ends with the answer.
   */
  prove(scenario: Scenario, allowed: Score, seconds: number): Promise<Proven>;
}

/** The solver's own clock comes well before the watchdog. */
const QUESTIONS = 4;
const LONGEST_QUESTION = 20;
const SHORTEST = 0.1;

/**
 * Starts the thread at once, so that it is ready when the plan is.
 * @param script what the thread runs
 */
export function openBounds(script = new URL('./boundsThread.mjs', import.meta.url)): BoundsThread {
  const worker = new Worker(script, { execArgv: [] });
  // The process need not wait for it when nothing is asked.
  worker.unref();
  let why: string | null = null;
  let proven: Proven | null = null;
  let end: () => void = () => {};
  const over = (reason: string) => {
    why ??= reason;
    end();
  };
  worker.once('error', (error) => over(`the solver failed (${error.message})`));
  worker.once('exit', (status) => over(`the solver's thread ended with status ${status}`));
  return {
    async prove(scenario, allowed, seconds) {
      const wait = Math.max(SHORTEST, seconds);
      const watch = setTimeout(
        () => over(`the solver was not done within ${Math.round(wait * 10) / 10} s`),
        wait * 1000,
      );
      const whole = await new Promise<boolean>((resolve) => {
        end = () => resolve(false);
        if (why !== null) end();
        worker.on('message', (answer: Proven | null) => {
          if (answer) proven = answer;
          else resolve(true);
        });
        const question = Math.max(SHORTEST, Math.min(LONGEST_QUESTION, wait / QUESTIONS));
        worker.postMessage({ scenario, allowed, seconds: question } satisfies BoundsQuestion);
      });
      clearTimeout(watch);
      // A thread that ends right after its last word has both told at once: the word counts.
      const answer =
        whole && proven ? proven : cutShort(proven, (whole ? null : why) ?? 'the solver gave no answer');
      // Not awaited: ending takes a moment, and the answer is there.
      void worker.terminate();
      return answer;
    },
  };
}
