import { create } from 'zustand';
import type { FileRef } from '../../bridge.ts';
import { commit, type History, NO_HISTORY, type Recipe, redo, undo } from '../../grid/history.ts';
import { newScenario } from '../../grid/newScenario.ts';
import { renamed } from '../../grid/renamed.ts';
import { type Activity, compareScores, NOTHING_PROVEN, type Plan, type Score } from '../../plan/plan.ts';
import type { Proven } from '../../planner/bounds/proof.ts';
import type { Shortage } from '../../planner/explain/explain.ts';
import { asPlan } from '../../planner/plan.ts';
import { lostRemarks, settle } from '../../planner/repair/lost.ts';
import { wantsLonger } from '../../planner/repair/moved.ts';
import { outOfReach } from '../../planner/search/outOfReach.ts';
import type { Question } from '../../reports/trace.ts';
import { type PlanInUse, planInUse, withPlanInUse } from '../../scenario/inUse.ts';
import type { Scenario } from '../../scenario/schema.ts';
import type { ByHand } from '../worker/plan.worker.ts';
import { ARRANGEMENTS, type Arrangement, type View } from './arrangements.ts';
import { type Judged, judge } from './judge.ts';
import { type Baseline, changesOf, judgePlan, type Planned, toldBy, withProof } from './planned.ts';
import { askWhy, makeRunner } from './planning.ts';
import { makeProver } from './proving.ts';

export { useShallow } from 'zustand/react/shallow';

export type Theme = 'light' | 'dark';

export interface Planning {
  /** stale: the plan on screen answers an older scenario and none is being made (faults, cancelled, failed). */
  readonly state: 'idle' | 'planning' | 'stale';
  /** 0..1 of the allowed work. */
  readonly done: number;
  readonly score: Score | null;
  /** Why the planner ended without a plan, else null. */
  readonly failure: string | null;
}
export interface Variant {
  readonly name: string;
  /** What a person calls it; none where the name says it all. */
  readonly title?: string;
  readonly scenario: Scenario;
  readonly plan: Plan | null;
}
/** What would have covered the unmet needs of a plan, as far as it has been looked into. */
export interface Explained {
  /** The plan it is about. */
  readonly of: readonly Activity[];
  readonly state: 'asking' | 'answered' | 'failed';
  /** Plans made for it. */
  readonly replans: number;
  readonly shortages: readonly Shortage[];
  /** Why there is no answer. */
  readonly message: string;
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
  /** The plan whose changes are shown: the first one made, later the last one that a person has taken note of. */
  readonly baseline: Baseline | null;
  /** The plan on screen came from a whole search; false: an edit or a person cut its search short. */
  readonly searched: boolean;
  /** The last answer was a short search's, after an edit. */
  readonly quick: boolean;
  readonly explained: Explained | null;
  /** What of the work begun before now is lost, until a person has taken note of it. */
  readonly lost: readonly string[];
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
  /** The plan that people work by, for the file: only where the past is held. */
  inUse(): PlanInUse | null;
  /** Plan now, from the plan on screen; `anew`: search from the beginning, and keep what is shown unless that is better. */
  replan(anew: boolean): void;
  /** A person has taken note of what changed: from now on changes count against the plan on screen. */
  noteChanges(): void;
  /** Looks into what would clear the shortages of the plan on screen; goes on while other views are looked at. */
  explain(): void;
  stopExplaining(): void;
  /** Keep the best plan so far. */
  cancelPlanning(): void;
  select(part: Partial<Selection>): void;
  show(part: Partial<View>): void;
  arrange(arrangement: Arrangement): void;
  set(part: Partial<Settings>): void;
}

const IDLE: Planning = { state: 'idle', done: 1, score: null, failure: null };
const NOTHING: Selection = { activity: null, patient: null, bath: null, minute: null, question: null };
const WAIT_MS = 300;
/** On screen until the first file is there. */
export const EMPTY: Scenario = newScenario('2031-02-03T07:00', 'UTC');

const baselineOf = (planned: Planned | null): Baseline | null =>
  planned && { activities: planned.plan.activities, madeAt: planned.madeAt };

const sameClock = (a: Scenario, b: Scenario): boolean => a.start === b.start && a.timeZone === b.timeZone;

/** What says how much can be made, had and kept; an edit keeps the rows that it does not touch. */
const LIMITS = ['machines', 'water', 'shifts', 'stock', 'deliveries', 'supplies', 'rules', 'days'] as const;
const sameLimits = (a: Scenario, b: Scenario): boolean => LIMITS.every((list) => a[list] === b[list]);

/** A plan with what belongs to it, kept for the scenario it answers: who undoes a slip finds the plan that was there. */
interface Answer extends Pick<State, 'searched' | 'quick' | 'lost' | 'byHand'> {
  readonly planned: Planned;
  /** It was still being improved. */
  readonly open: boolean;
  /** min, when it was left. */
  readonly now: number;
}
const answers = new WeakMap<Scenario, Answer>();
/** The plan that a file with errors keeps, until they are put right. */
let pending: PlanInUse | null = null;
/** What the file holds, as far as is known. */
let clean: Scenario | null = null;

const runner = makeRunner();
const prover = makeProver();
let timer: ReturnType<typeof setTimeout> | undefined;
/** Shows the best plan of the run under way. */
let showBest: ((remarks: readonly string[]) => void) | null = null;
/** The proof of this run: of a plan shown meanwhile, it holds for any that is no worse. */
let proof: {
  readonly allowed: Score;
  state: 'running' | 'proven' | 'failed';
  proven: Proven | null;
} | null = null;

let endExplaining: (() => void) | null = null;

const noWorse = (score: Score, allowed: Score): boolean =>
  score.unmetLitres <= allowed.unmetLitres && score.reserveShort <= allowed.reserveShort;

/** The one store. The scenario is the only truth; faults, problem, demand and plan are computed from it. */
export const useStore = create<State & Actions>()((set, get) => {
  const halt = () => {
    clearTimeout(timer);
    runner.stop();
    prover.stop();
    proof = null;
    showBest = null;
    const { planned } = get();
    if (planned?.proof.state === 'running') set({ planned: { ...planned, proof: { state: 'none' } } });
  };
  /** The plan is on screen; what no plan can do better than follows when it is proven, unless it is being proven. */
  const prove = () => {
    const { planned } = get();
    if (!planned) return;
    if (planned.verdict.history.length > 0) {
      const why = 'what was done before now breaks a rule as it stands now';
      set({ planned: { ...planned, proof: { state: 'failed', why } } });
      return;
    }
    const allowed = planned.plan.score;
    const asked = proof && noWorse(proof.allowed, allowed) && noWorse(allowed, proof.allowed);
    if (asked && proof?.state !== 'failed') return;
    const mine: typeof proof = { allowed, state: 'running', proven: null };
    proof = mine;
    set({ planned: { ...planned, proof: { state: 'running' } } });
    const tell = (change: (shown: Planned) => Planned) => {
      const shown = get().planned;
      if (shown) set({ planned: change(shown) });
    };
    const told = (state: 'running' | 'proven') => (proven: Proven) => {
      Object.assign(mine, { proven, state });
      tell((shown) => withProof(shown, proven, state));
    };
    prover.start(planned.scenario, allowed, {
      step: told('running'),
      done: told('proven'),
      failed(why) {
        mine.state = 'failed';
        tell((shown) => ({ ...shown, proof: { state: 'failed', why } }));
      },
    });
  };
  const planSoon = (wait: number, anew: boolean) => {
    halt();
    const { scenario, problem, demand, planned, searched } = get();
    if (!problem || !demand) {
      set({ planning: { ...IDLE, state: 'stale' } });
      return;
    }
    if (pending && !planned) {
      const kept = pending;
      pending = null;
      if (goOnWith(kept)) return;
    }
    set({ planning: { ...IDLE, state: 'planning', done: 0 } });
    // Minutes count from the start: a plan from another one is of no use.
    const before = planned && sameClock(planned.scenario, scenario) ? planned : null;
    const show = (plan: Plan) => {
      const { baseline } = get();
      if (!proof || proof.state === 'failed' || !noWorse(plan.score, proof.allowed)) {
        set({ planned: judgePlan(scenario, problem, demand, plan, baseline, request.now) });
        return;
      }
      const { state, proven } = proof;
      const told = proven ? toldBy(plan, proven, state) : plan;
      set({
        planned: judgePlan(scenario, problem, demand, told, baseline, request.now, {
          state,
          remarks: proven?.remarks ?? [],
        }),
      });
    };
    const previous = before && renamed(before.scenario, scenario, before.plan.activities);
    if (previous) {
      const lost = lostRemarks(problem, settle(problem, previous, held()).lost);
      if (lost.length > 0) set({ lost: [...new Set([...get().lost, ...lost])] });
    }
    const request = {
      scenario,
      previous: previous ?? undefined,
      now: held(),
      anew: anew || !searched,
    };
    // A short search is over before a proof has begun.
    const long = request.anew || !previous;
    const start = () =>
      runner.start(request, {
        progress({ done, score, activities, settled }) {
          set({ planning: { state: 'planning', done, score, failure: null } });
          const bound = NOTHING_PROVEN;
          const shown = get().planned;
          const current = shown?.scenario === scenario;
          // The proof need not wait for the searches' end.
          if (long && current && settled && !proof) prove();
          if (current && compareScores(score, shown.plan.score) >= 0) return;
          showBest = (remarks) => show(asPlan(problem, activities, { bound, remarks, seconds: 0 }));
          // With a plan before, only what is kept of it (told first) is shown meanwhile: the search moves much.
          if (!before || !current) showBest([]);
        },
        done(plan) {
          showBest = null;
          show(plan);
          const { planned: shown, baseline } = get();
          set({ planning: IDLE, searched: true, quick: !long, baseline: baseline ?? baselineOf(shown) });
          const than = before && previous && { ...before.plan, activities: previous };
          const longer = () => {
            if (!before || !than || request.anew) return false;
            const lost = outOfReach(problem, demand, request.now).unmetParts / problem.partsPerLitre;
            return wantsLonger(than, plan, !sameLimits(before.scenario, scenario), lost);
          };
          if (longer()) planSoon(0, true);
          else prove();
        },
        byHand: (byHand) => set({ byHand }),
        failed: (failure) => set({ planning: { ...IDLE, state: 'stale', failure } }),
      });
    timer = setTimeout(start, wait);
  };
  const held = () => (get().holdPast ? get().now : 0);
  const remember = () => {
    const { scenario, planned, searched, quick, lost, byHand, planning, now } = get();
    if (planned?.scenario !== scenario) return;
    const open = planning.state === 'planning';
    answers.set(scenario, { planned, searched, quick, lost, byHand, open, now });
  };
  /** Shows the plan that this scenario had before, if any; whether there is nothing more to do. */
  const recall = (): boolean => {
    const { scenario, problem, demand, baseline, planned: shown } = get();
    const before = answers.get(scenario);
    if (!before || !problem || !demand) return false;
    const { searched, quick, lost, byHand, open } = before;
    const { plan, proof } = before.planned;
    // What was done meanwhile by another plan stands; all else is as it was, what seemed lost too.
    const done = ({ activities }: Plan) =>
      JSON.stringify(activities.filter(({ start }) => start >= before.now && start < held()));
    if (shown && done(shown.plan) !== done(plan)) {
      set({ lost });
      return false;
    }
    halt();
    const planned = judgePlan(scenario, problem, demand, plan, baseline, held(), proof);
    set({ planned, searched: searched && !open, quick, lost, byHand, planning: IDLE });
    if (!open && proof.state !== 'proven') prove();
    return !open;
  };
  /** Shows the plan that a file keeps, as it was left, instead of making one; whether it keeps one that can be used. */
  const goOnWith = (kept: PlanInUse): boolean => {
    const { scenario, problem, demand } = get();
    if (!problem || !demand) return false;
    const now = Math.min(problem.horizon, Math.max(0, problem.clock.minuteOf(kept.now)));
    const rest = { bound: NOTHING_PROVEN, remarks: [], seconds: 0 };
    const plan = asPlan(problem, kept.activities, rest);
    const planned = judgePlan(scenario, problem, demand, plan, null, now);
    set({ planned, baseline: baselineOf(planned), now, holdPast: true, searched: true, planning: IDLE });
    // The scenario was edited by other means: what still can stay stays. An empty plan breaks no rule, and serves nobody.
    if (planned.verdict.ok && kept.activities.length > 0) prove();
    else planSoon(0, kept.activities.length === 0);
    return true;
  };
  const take = (edited: { scenario: Scenario; history: History }) => {
    const { scenario: old, baseline } = get();
    if (edited.scenario === old) return;
    remember();
    set({ ...edited, ...judge(edited.scenario), unsaved: edited.scenario !== clean || get().holdPast });
    // Minutes count from the start: of another one nothing is known to be done.
    if (!sameClock(old, edited.scenario)) set({ baseline: null, now: 0, holdPast: false, lost: [] });
    else if (baseline)
      set({ baseline: { ...baseline, activities: renamed(old, edited.scenario, baseline.activities) } });
    if (!recall()) planSoon(WAIT_MS, false);
  };
  return {
    scenario: EMPTY,
    ...judge(EMPTY),
    file: null,
    unsaved: false,
    history: NO_HISTORY,
    planned: null,
    baseline: null,
    searched: false,
    quick: false,
    explained: null,
    lost: [],
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
    load(read, file) {
      halt();
      const kept = planInUse(read);
      // From here on it is the plan on screen; it goes back to the file as that.
      const scenario = kept && kept !== 'broken' ? withPlanInUse(read, null) : read;
      clean = scenario;
      set({ scenario, ...judge(scenario), file, unsaved: false, history: NO_HISTORY });
      set({ planned: null, baseline: null, searched: false, lost: [], byHand: null });
      set({ selection: NOTHING, now: 0, holdPast: false, variants: [] });
      pending = kept === 'broken' ? null : kept;
      planSoon(0, true);
    },
    inUse() {
      const { scenario, planned, now, holdPast } = get();
      if (pending) return pending;
      if (!holdPast || !planned || !sameClock(planned.scenario, scenario)) return null;
      // While another is being made, or errors keep it from being made, it is the one that people have.
      const activities = renamed(planned.scenario, scenario, planned.plan.activities);
      return { start: scenario.start, now: planned.problem.clock.localOf(now), activities };
    },
    saved(file) {
      clean = get().scenario;
      set({ file, unsaved: false });
    },
    replan: (anew) => planSoon(0, anew),
    noteChanges() {
      const { planned } = get();
      const baseline = baselineOf(planned);
      if (planned)
        set({
          baseline,
          lost: [],
          planned: { ...planned, changes: changesOf(baseline, planned.plan.activities) },
        });
    },
    explain() {
      const { planned } = get();
      if (!planned) return;
      endExplaining?.();
      const of = planned.plan.activities;
      const goOn = (change: (now: Explained) => Partial<Explained>) => {
        const now = get().explained;
        if (now?.of === of) set({ explained: { ...now, ...change(now) } });
      };
      set({ explained: { of, state: 'asking', replans: 0, shortages: [], message: '' } });
      endExplaining = askWhy(planned.scenario, planned.plan, {
        progress: (replans) => goOn(() => ({ replans })),
        shortage: (shortage) => goOn(({ shortages }) => ({ shortages: [...shortages, shortage] })),
        done: (shortages) => goOn(() => ({ state: 'answered', shortages })),
        failed: (message) => goOn(() => ({ state: 'failed', message })),
      });
    },
    stopExplaining() {
      endExplaining?.();
      set({ explained: null });
    },
    cancelPlanning() {
      showBest?.(['The best plan when planning was cancelled.']);
      halt();
      const current = get().planned?.scenario === get().scenario;
      set({ planning: { ...IDLE, state: current ? 'idle' : 'stale' }, searched: false });
      if (current) prove();
    },
    select: (part) => set({ selection: { ...get().selection, ...part } }),
    show: (part) => set({ view: { ...get().view, ...part } }),
    arrange: (arrangement) => set({ view: { arrangement, ...ARRANGEMENTS[arrangement].view } }),
    // What is done by now goes to the file too.
    set: (part) =>
      set({
        ...part,
        ...(('holdPast' in part || ('now' in part && get().holdPast)) && { unsaved: true }),
      }),
  };
});

// Another plan, another question: what is still being looked into is of no use any more.
useStore.subscribe(({ explained, planned, stopExplaining }) => {
  if (explained?.state === 'asking' && planned?.plan.activities !== explained.of) stopExplaining();
});

/** The trace of a number opens in the panel at the side. */
export const ask = (question: Question): void => {
  useStore.getState().select({ question });
  useStore.getState().show({ side: true });
};
