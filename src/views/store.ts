import { create } from 'zustand';
import type { FileRef } from '../bridge.ts';
import type { Demand } from '../demand/demand.ts';
import type { Activity, Bound, Plan, Score } from '../plan/plan.ts';
import { asPlan } from '../planner/plan.ts';
import type { Problem } from '../scenario/problem.ts';
import type { Scenario } from '../scenario/schema.ts';
import { commit, type History, NO_HISTORY, type Recipe, redo, undo } from '../sheets/history.ts';
import { type Judged, judge } from './judge.ts';
import { makeRunner } from './planning.ts';

export type Arrangement = 'nephrology' | 'technician' | 'administrator';
export type Theme = 'light' | 'dark';

/** The plan on screen, with the problem and demand it answers: an edit may have moved on since. */
export interface Planned {
  readonly scenario: Scenario;
  readonly problem: Problem;
  readonly demand: Demand;
  readonly plan: Plan;
}
export interface Planning {
  /** stale: the scenario has faults or planning was cancelled, the plan on screen answers an older scenario. */
  readonly state: 'idle' | 'planning' | 'stale';
  /** 0..1 of the allowed work. */
  readonly done: number;
  readonly score: Score | null;
  readonly bound: Bound | null;
  /** Why the planner ended without a plan, else null. */
  readonly failure: string | null;
}
export interface Variant {
  readonly name: string;
  readonly scenario: Scenario;
  readonly plan: Plan | null;
}
export interface Selection {
  readonly activity: Activity | null;
  readonly patient: string | null;
  readonly bath: string | null;
  /** min from the start */
  readonly minute: number | null;
}
export interface View {
  readonly arrangement: Arrangement;
  readonly sheet: string;
}

export interface State extends Judged {
  readonly scenario: Scenario;
  readonly file: FileRef | null;
  readonly unsaved: boolean;
  readonly history: History;
  readonly planned: Planned | null;
  readonly planning: Planning;
  readonly variants: readonly Variant[];
  readonly selection: Selection;
  readonly view: View;
  readonly theme: Theme;
  /** percent, 80..200 */
  readonly zoom: number;
  /** The minute that the technician lead stands in, from the start. */
  readonly now: number;
}
export interface Actions {
  /** One act of a person: one undo step. Demand follows at once, the plan shortly after. */
  edit(label: string, recipe: Recipe): void;
  undo(): void;
  redo(): void;
  /** Another scenario takes the place of this one; the history starts anew. */
  load(scenario: Scenario, file: FileRef | null): void;
  saved(file: FileRef): void;
  /** Plan now, from the plan on screen when there is one. */
  replan(): void;
  /** Keep the best plan so far. */
  cancelPlanning(): void;
  select(part: Partial<Selection>): void;
  show(part: Partial<View>): void;
  set(part: Partial<Pick<State, 'theme' | 'zoom' | 'now' | 'variants'>>): void;
}

const IDLE: Planning = { state: 'idle', done: 1, score: null, bound: null, failure: null };
const NOTHING: Selection = { activity: null, patient: null, bath: null, minute: null };
const WAIT_MS = 300;
export const EMPTY: Scenario = {
  format: 'bathtide-scenario',
  version: 1,
  title: 'New scenario',
  timeZone: 'UTC',
  start: '2031-02-03T07:00',
  days: 7,
  baths: [],
  patients: [],
  machines: [],
  water: [],
  shifts: [],
};

const runner = makeRunner();
let timer: ReturnType<typeof setTimeout> | undefined;

/** The one store. The scenario is the only truth; faults, problem, demand and plan are computed from it. */
export const useStore = create<State & Actions>()((set, get) => {
  const planSoon = (wait: number) => {
    clearTimeout(timer);
    runner.stop();
    const { scenario, problem, demand, planned, now } = get();
    if (!problem || !demand) {
      set({ planning: { ...IDLE, state: 'stale' } });
      return;
    }
    set({ planning: { ...IDLE, state: 'planning', done: 0 } });
    const base = { scenario, problem, demand };
    const previous = planned?.plan.activities;
    timer = setTimeout(
      () =>
        runner.start(
          { scenario, previous, now },
          {
            progress: ({ done, score, bound, activities }) => {
              set({ planning: { state: 'planning', done, score, bound, failure: null } });
              if (get().planned?.scenario !== scenario) {
                const rest = {
                  bound: bound ?? { unmetLitres: 0, handsOnMinutes: 0 },
                  remarks: [],
                  seconds: 0,
                };
                set({ planned: { ...base, plan: asPlan(problem, activities, rest) } });
              }
            },
            done: (plan) => set({ planned: { ...base, plan }, planning: IDLE }),
            failed: (failure) => set({ planning: { ...IDLE, state: 'stale', failure } }),
          },
        ),
      wait,
    );
  };
  const take = (edited: { scenario: Scenario; history: History }) => {
    if (edited.scenario === get().scenario) return;
    set({ ...edited, ...judge(edited.scenario), unsaved: true });
    planSoon(WAIT_MS);
  };
  return {
    scenario: EMPTY,
    ...judge(EMPTY),
    file: null,
    unsaved: false,
    history: NO_HISTORY,
    planned: null,
    planning: IDLE,
    variants: [],
    selection: NOTHING,
    view: { arrangement: 'nephrology', sheet: 'patients' },
    theme: 'light',
    zoom: 100,
    now: 0,
    edit: (label, recipe) => take(commit(get(), label, recipe)),
    undo: () => take(undo(get())),
    redo: () => take(redo(get())),
    load(scenario, file) {
      set({
        scenario,
        ...judge(scenario),
        file,
        unsaved: false,
        history: NO_HISTORY,
        planned: null,
        selection: NOTHING,
        now: 0,
      });
      planSoon(0);
    },
    saved: (file) => set({ file, unsaved: false }),
    replan: () => planSoon(0),
    cancelPlanning() {
      clearTimeout(timer);
      runner.stop();
      set({ planning: { ...get().planning, state: 'stale' } });
    },
    select: (part) => set({ selection: { ...get().selection, ...part } }),
    show: (part) => set({ view: { ...get().view, ...part } }),
    set: (part) => set(part),
  };
});
