import { useSyncExternalStore } from 'react';
import { type Compared, comparisons } from '../../capacity/answers/agreement.ts';
import { type Lever, type LeverSaving, leversOf, together } from '../../capacity/answers/levers.ts';
import { type Requirements, requirements } from '../../capacity/answers/requirements.ts';
import { type Study, study } from '../../capacity/answers/study.ts';
import { type HeatMap, heatMap, leverSavings } from '../../capacity/answers/sweeps.ts';
import { specOf } from '../../capacity/forecast/forecast.ts';
import { NO_HISTORY } from '../../grid/history.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { useStore } from '../state/store.ts';
import { Cancelled, openThreads, type Threads } from './threads.ts';

/** All that the administrator is told; parts come one after the other. */
export interface Answers {
  readonly study: Study | null;
  readonly needs: Requirements | null;
  readonly heat: HeatMap | null;
  readonly savings: readonly LeverSaving[] | null;
  /** Draws that were also planned fully. */
  readonly compared: readonly Compared[] | null;
}
export interface Capacity extends Answers {
  /** What is being worked out, null: nothing. */
  readonly stage: string | null;
  /** 0..1 of that */
  readonly done: number;
  readonly failure: string | null;
  /** Draws all answers for a scenario without error faults; what stands is replaced part by part. */
  start(scenario: Scenario, draws: number): void;
  cancel(): void;
  /** Adds the saving of levers pulled together. */
  combine(levers: readonly Lever[]): void;
}

const NOTHING: Answers = { study: null, needs: null, heat: null, savings: null, compared: null };
/** Sweeps compare like with like on the same patients, so fewer draws do. */
const SWEEP = 400;

/** Heat map and levers need machines asked about around the answer. */
function around(made: Study): { machines: number[]; most: number } {
  const middle = (made.supplied ?? made).smallest ?? made.own;
  const last = Math.max(middle + 2, made.own + 1);
  const first = Math.max(1, Math.min(middle, made.own) - 4);
  return { machines: Array.from({ length: last - first + 1 }, (_, n) => first + n), most: last };
}

/** Where supplies run out whatever is done, levers are compared as if they did not: else none would tell anything. */
const pulledOn = ({ scenario, supplied }: Study): Scenario =>
  supplied ? { ...scenario, supplies: [] } : scenario;

function makeCapacity() {
  const listeners = new Set<() => void>();
  const set = (part: Partial<Capacity>) => {
    capacity = { ...capacity, ...part };
    for (const tell of listeners) tell();
  };
  let threads: Threads | null = null;
  const cancel = () => {
    threads?.close();
    threads = null;
  };
  const during = async (
    act: (open: Threads, stage: (name: string) => void, onProgress: (done: number) => void) => Promise<void>,
  ) => {
    cancel();
    const open = openThreads();
    threads = open;
    const current = () => threads === open;
    const stage = (name: string) => set({ stage: name, done: 0, failure: null });
    try {
      await act(open, stage, (done) => current() && set({ done }));
      if (current()) set({ stage: null, done: 1, failure: null });
    } catch (error) {
      if (threads !== null && !current()) return;
      const failure =
        error instanceof Cancelled ? null : error instanceof Error ? error.message : String(error);
      set({ stage: null, done: 0, failure });
    } finally {
      if (current()) cancel();
      else open.close();
    }
  };
  let capacity: Capacity = {
    ...NOTHING,
    stage: null,
    done: 0,
    failure: null,
    cancel,
    start(scenario, draws) {
      const { seed } = specOf(scenario);
      void during(async (open, stage, onProgress) => {
        set(NOTHING);
        stage('Drawing patients');
        const made = await study(scenario, open.run, { draws, seed, onProgress });
        set({ study: made });
        if (made.own === 0) return;
        const sweep = { draws: Math.min(draws, SWEEP), seed, onProgress };
        stage('Machines and technicians');
        const { machines, most } = around(made);
        const technicians = Array.from(
          { length: Math.max(3, ...scenario.shifts.map((row) => row.technicians)) + 1 },
          (_, n) => n + 1,
        );
        set({
          heat: await heatMap({ ...scenario, supplies: [] }, open.run, { ...sweep, machines, technicians }),
        });
        stage('Just enough of everything');
        set({ needs: await requirements(made, open.run, sweep) });
        stage('Levers');
        set({
          savings: await leverSavings(pulledOn(made), leversOf(scenario), open.run, { ...sweep, most }),
        });
        stage('Full plans beside the fast model');
        const jobs = comparisons(made).map((job) => ({ scenario, seed, ...job }));
        let planned = 0;
        const compared = await open.compare(jobs, (more) => {
          planned += more;
          onProgress(planned / jobs.length);
        });
        set({ compared });
      });
    },
    combine(levers) {
      const base = capacity.study;
      if (!base || levers.length === 0) return;
      const { seed } = base;
      void during(async (open, stage, onProgress) => {
        stage('Levers together');
        const { most } = around(base);
        const options = { draws: Math.min(base.draws, SWEEP), seed, onProgress, most };
        const made = await leverSavings(pulledOn(base), [together(levers)], open.run, options);
        const before = capacity.savings ?? [];
        set({ savings: [...before.filter(({ id }) => id !== made[0]!.id), ...made] });
      });
    },
  };
  return {
    now: () => capacity,
    listen(tell: () => void) {
      listeners.add(tell);
      return () => {
        listeners.delete(tell);
      };
    },
    forget() {
      cancel();
      set({ ...NOTHING, stage: null, done: 0, failure: null });
    },
  };
}
const desk = makeCapacity();

// An edit leaves the answers, shown as those before it; another file has nothing to do with them.
useStore.subscribe((state, before) => {
  if (state.scenario !== before.scenario && state.history === NO_HISTORY) desk.forget();
});

/**
 * The forecast on threads of its own. It outlives the view that shows it: answers that took long to draw stay, and
 * drawing goes on, while another view is looked at.
 */
export const useCapacity = (): Capacity => useSyncExternalStore(desk.listen, desk.now);
