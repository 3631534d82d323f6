import { create } from 'zustand';
import type { FileRef } from '../bridge.ts';
import { type Activity, type Bound, compareScores, type Plan, type Score } from '../plan/plan.ts';
import { asPlan } from '../planner/plan.ts';
import type { Scenario } from '../scenario/schema.ts';
import { commit, type History, NO_HISTORY, type Recipe, redo, undo } from '../sheets/history.ts';
import type { Question } from '../sheets/trace.ts';
import { ARRANGEMENTS, type Arrangement, type View } from './arrangements.ts';
import { type Judged, judge } from './judge.ts';
import { judgePlan, type Planned } from './planned.ts';
import { makeRunner } from './planning.ts';
import type { ByHand } from './worker/plan.worker.ts';

export { useShallow } from 'zustand/react/shallow';

export type Theme = 'light' | 'dark';

export interface Planning {
  /** stale: the plan on screen answers an older scenario and none is being made (faults, cancelled, failed). */
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
  /** A number whose origin is asked for. */
  readonly question: Question | null;
}

export interface State extends Judged {
  readonly scenario: Scenario;
  readonly file: FileRef | null;
  readonly unsaved: boolean;
  readonly history: History;
  /** The plan on screen. It answers `planned.scenario`, which may be older than `scenario`. */
  readonly planned: Planned | null;
  /** Beside it: the plan of a careful person. */
  readonly byHand: ByHand | null;
  readonly planning: Planning;
  readonly variants: readonly Variant[];
  readonly selection: Selection;
  readonly view: View;
  readonly theme: Theme;
  /** percent, 80..200 */
  readonly zoom: number;
  /** The minute that the technician lead stands in, from the start. */
  readonly now: number;
  /** Planning leaves alone what starts before `now`. */
  readonly holdPast: boolean;
}
type Settings = Pick<State, 'theme' | 'zoom' | 'now' | 'holdPast' | 'variants'>;
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
  arrange(arrangement: Arrangement): void;
  set(part: Partial<Settings>): void;
}

const IDLE: Planning = { state: 'idle', done: 1, score: null, bound: null, failure: null };
const NOTHING: Selection = { activity: null, patient: null, bath: null, minute: null, question: null };
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
/** Shows the best plan of the run under way. */
let showBest: (() => void) | null = null;

/** The one store. The scenario is the only truth; faults, problem, demand and plan are computed from it. */
export const useStore = create<State & Actions>()((set, get) => {
  const halt = () => {
    clearTimeout(timer);
    runner.stop();
    showBest = null;
  };
  const planSoon = (wait: number) => {
    halt();
    const { scenario, problem, demand, planned, now, holdPast } = get();
    if (!problem || !demand) {
      set({ planning: { ...IDLE, state: 'stale' } });
      return;
    }
    set({ planning: { ...IDLE, state: 'planning', done: 0 } });
    const before = planned?.plan ?? null;
    const show = (plan: Plan) => set({ planned: judgePlan(scenario, problem, demand, plan, before) });
    const start = () =>
      runner.start(
        { scenario, previous: before?.activities, now: holdPast ? now : 0 },
        {
          progress({ done, score, bound, activities }) {
            set({ planning: { state: 'planning', done, score, bound, failure: null } });
            const remarks = ['The best plan when planning was cancelled.'];
            // Hands-on minutes are proven only for plans as good in unmet litres as the best there is.
            const proven = { unmetLitres: bound?.unmetLitres ?? 0, handsOnMinutes: 0 };
            showBest = () => show(asPlan(problem, activities, { bound: proven, remarks, seconds: 0 }));
            // A first plan is worth seeing at once; after an edit the old one stays until the new one is done.
            const shown = get().planned;
            if (!before && (!shown || compareScores(score, shown.plan.score) < 0)) showBest();
          },
          done(plan) {
            showBest = null;
            show(plan);
            set({ planning: IDLE });
          },
          byHand: (byHand) => set({ byHand }),
          failed: (failure) => set({ planning: { ...IDLE, state: 'stale', failure } }),
        },
      );
    timer = setTimeout(start, wait);
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
    byHand: null,
    planning: IDLE,
    variants: [],
    selection: NOTHING,
    view: { arrangement: 'nephrology', ...ARRANGEMENTS.nephrology.view },
    theme: 'light',
    zoom: 100,
    now: 0,
    holdPast: false,
    edit: (label, recipe) => take(commit(get(), label, recipe)),
    undo: () => take(undo(get())),
    redo: () => take(redo(get())),
    load(scenario, file) {
      set({ scenario, ...judge(scenario), file, unsaved: false, history: NO_HISTORY });
      set({ planned: null, byHand: null, selection: NOTHING, now: 0, holdPast: false });
      planSoon(0);
    },
    saved: (file) => set({ file, unsaved: false }),
    replan: () => planSoon(0),
    cancelPlanning() {
      showBest?.();
      halt();
      set({ planning: { ...IDLE, state: get().planned?.scenario === get().scenario ? 'idle' : 'stale' } });
    },
    select: (part) => set({ selection: { ...get().selection, ...part } }),
    show: (part) => set({ view: { ...get().view, ...part } }),
    arrange: (arrangement) => set({ view: { arrangement, ...ARRANGEMENTS[arrangement].view } }),
    set: (part) => set(part),
  };
});
