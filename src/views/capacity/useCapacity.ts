import { useSyncExternalStore } from 'react';
import { decidingJobs, PLANNED_SECONDS, plannedWithin } from '../../capacity/answers/certainty.ts';
import { leversOf } from '../../capacity/answers/leverForms.ts';
import { type Lever, together } from '../../capacity/answers/levers.ts';
import { offersOf } from '../../capacity/answers/offers.ts';
import { orderLists } from '../../capacity/answers/orders.ts';
import { requirements } from '../../capacity/answers/requirements.ts';
import { type Study, study } from '../../capacity/answers/study.ts';
import { heatMap, leverSavings } from '../../capacity/answers/sweeps.ts';
import { variantAnswers } from '../../capacity/answers/variants.ts';
import { specOf } from '../../capacity/forecast/forecast.ts';
import { NO_HISTORY } from '../../grid/history.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { useStore } from '../state/store.ts';
import {
  type CapacityEvent,
  type CapacityState,
  LONG_SECONDS,
  NOTHING_YET,
  reduceCapacity,
  secondsFor,
} from './answersState.ts';
import { Cancelled, openThreads, type Threads } from './threads.ts';
import type { NamedScenario } from './VariantPart.tsx';

export interface Capacity extends CapacityState {
  /** Simulates all answers for a scenario without error faults; asks first where that takes long. */
  start(scenario: Scenario, draws: number, isSure?: boolean): void;
  cancel(): void;
  /** Adds what changes save: each alone, or all of them combined. */
  change(levers: readonly Lever[], how: 'each' | 'combined'): void;
  /** Compares scenarios on machines needed and runs short. */
  compare(variants: readonly NamedScenario[]): void;
}

/** Sweeps compare like with like on the same patients, so fewer runs do. */
const SWEEP = 500;
/** Up to so many runs nobody is asked; beyond, so many are timed first. */
const QUICK = 20_000;
const TIMED = 300;
/** Each variant is asked about with so many runs at most. */
const VARIANT_RUNS = 2000;
/** Technicians more in every shift that the heat map asks about. */
const MORE = [0, 1, 2, 3];

/** Heat map and levers need machines asked about around the answer. */
function around(made: Study): { machines: number[]; most: number } {
  const { rows } = made.supplied ?? made;
  const middle = (made.supplied ?? made).smallest ?? made.own;
  const last = Math.min(rows.length, Math.max(middle + 2, made.own + 1));
  const first = Math.max(1, Math.min(middle, made.own) - 4);
  return { machines: Array.from({ length: last - first + 1 }, (_, n) => first + n), most: last };
}

/** Where supplies run out whatever is done, changes are compared as if they did not: else none would tell anything. */
const basisOf = ({ scenario, supplied }: Study): Scenario =>
  supplied ? { ...scenario, supplies: [] } : scenario;

interface Going {
  readonly open: Threads;
  readonly stage: (name: string) => void;
  readonly onProgress: (done: number) => void;
  readonly tell: (event: CapacityEvent) => void;
}

/** How long so many runs will take on this computer, s. */
async function timed(scenario: Scenario, draws: number, { open }: Going): Promise<number> {
  const { seed } = specOf(scenario);
  const began = performance.now();
  await study(scenario, open.run, { draws: TIMED, seed });
  return secondsFor(draws, { draws: TIMED, seconds: (performance.now() - began) / 1000 });
}

/** All answers, one after the other. */
async function answer(scenario: Scenario, draws: number, going: Going): Promise<void> {
  const { open, stage, onProgress, tell } = going;
  const { seed } = specOf(scenario);
  stage('Simulated runs');
  const made = await study(scenario, open.run, { draws, seed, onProgress });
  tell({ kind: 'answered', part: { study: made } });
  if (made.own === 0) return;
  const sweep = { draws: Math.min(draws, SWEEP), seed, onProgress };
  const { machines, most } = around(made);
  stage('Machines and technicians');
  const heat = await heatMap(basisOf(made), open.run, { ...sweep, machines, more: MORE });
  tell({ kind: 'answered', part: { heat } });
  stage('Just enough of everything');
  tell({ kind: 'answered', part: { needs: await requirements(made, open.run, sweep) } });
  stage('What-if changes');
  const savings = await leverSavings(basisOf(made), leversOf(scenario), open.run, { ...sweep, most });
  tell({ kind: 'answered', part: { savings } });
  stage('What to get');
  const ordered = await orderLists(scenario, offersOf(scenario), open.run, { draws, seed, onProgress });
  tell({ kind: 'answered', part: { ordered } });
  stage('Full plans beside the fast model');
  const compared = await plannedWithin(
    decidingJobs(made),
    (job) => open.compare({ scenario, seed, ...job }),
    {
      threads: open.count,
      now: () => performance.now() / 1000,
      seconds: PLANNED_SECONDS,
      atLeast: 2,
      onProgress,
    },
  );
  tell({ kind: 'answered', part: { compared } });
}

/** Answers of the changes, in place of those of the same name. */
async function changed(
  base: Study,
  before: CapacityState['savings'],
  levers: readonly Lever[],
  { open, stage, onProgress, tell }: Going,
): Promise<void> {
  stage('What-if changes');
  const options = {
    draws: Math.min(base.draws, SWEEP),
    seed: base.seed,
    onProgress,
    most: around(base).most,
  };
  const made = await leverSavings(basisOf(base), levers, open.run, options);
  const kept = (before ?? []).filter(({ id }) => !made.some((one) => one.id === id));
  tell({ kind: 'answered', part: { savings: [...kept, ...made] } });
}

function makeCapacity() {
  const listeners = new Set<() => void>();
  let threads: Threads | null = null;
  const tell = (event: CapacityEvent) => {
    capacity = { ...capacity, ...reduceCapacity(capacity, event) };
    for (const told of listeners) told();
  };
  const stop = () => {
    threads?.close();
    threads = null;
  };
  /** Work on threads of its own; what was under way before ends. */
  const during = async (act: (going: Going) => Promise<void>) => {
    stop();
    const open = openThreads();
    threads = open;
    const isCurrent = () => threads === open;
    const say = (event: CapacityEvent) => {
      if (isCurrent()) tell(event);
    };
    const stage = (name: string) => say({ kind: 'stage', stage: name });
    try {
      await act({ open, stage, onProgress: (done) => say({ kind: 'progress', done }), tell: say });
      if (capacity.asking === null) say({ kind: 'ended' });
    } catch (error) {
      if (error instanceof Cancelled) return;
      say({ kind: 'failed', failure: error instanceof Error ? error.message : String(error) });
    } finally {
      if (isCurrent()) threads = null;
      open.close();
    }
  };
  let capacity: Capacity = {
    ...NOTHING_YET,
    cancel() {
      stop();
      tell({ kind: 'ended' });
    },
    start(scenario, draws, isSure = draws <= QUICK) {
      void during(async (going) => {
        if (!isSure) {
          going.stage('Timing a few runs');
          const seconds = await timed(scenario, draws, going);
          if (seconds > LONG_SECONDS) return going.tell({ kind: 'asked', draws, seconds });
        }
        await answer(scenario, draws, going);
      });
    },
    change(levers, how) {
      const { study: base, savings } = capacity;
      if (!base || levers.length === 0) return;
      const asked = how === 'combined' ? [together(levers)] : levers;
      void during((going) => changed(base, savings, asked, going));
    },
    compare(variants) {
      const { study: base } = capacity;
      if (!base) return;
      void during(async ({ open, stage, onProgress, tell: say }) => {
        stage('Variants');
        const draws = Math.min(base.draws, VARIANT_RUNS);
        const made = await variantAnswers(variants, open.run, { draws, seed: base.seed, onProgress });
        say({ kind: 'answered', part: { variants: made } });
      });
    },
  };
  return {
    now: () => capacity,
    listen(told: () => void) {
      listeners.add(told);
      return () => {
        listeners.delete(told);
      };
    },
    forget() {
      stop();
      tell({ kind: 'forgotten' });
    },
  };
}
const desk = makeCapacity();

// An edit leaves the answers, shown as those before it; another file has nothing to do with them.
useStore.subscribe((state, before) => {
  if (state.scenario !== before.scenario && state.history === NO_HISTORY) desk.forget();
});

/** The answers of this moment, for files that are written. */
export const answersNow = (): CapacityState => desk.now();

/**
 * The forecast on threads of its own. It outlives the view that shows it: answers that took long to draw stay, and
 * work goes on, while another view is looked at.
 */
export const useCapacity = (): Capacity => useSyncExternalStore(desk.listen, desk.now);
