import type { FileRef } from '../../bridge.ts';
import type { LeftOut } from '../../grid/headings.ts';
import { type History, NO_HISTORY, type Recipe } from '../../grid/history.ts';
import { newScenario } from '../../grid/newScenario.ts';
import type { PrescriptionChange } from '../../grid/prescriptions.ts';
import type { Place } from '../../grid/where.ts';
import type { Activity, Plan, Score } from '../../plan/plan.ts';
import type { ClinicalWay, Shortage } from '../../planner/plan.ts';
import type { Proven } from '../../planner/planner.ts';
import type { Question } from '../../reports/trace.ts';
import type { PlanInUse } from '../../scenario/inUse.ts';
import type { Conflict } from '../../scenario/merge.ts';
import type { Scenario } from '../../scenario/schema.ts';
import type { ByHand, PlanRequest } from '../worker/plan.worker.ts';
import { ARRANGEMENTS, type View } from './arrangements.ts';
import { type DayRecord, meaningOf, NO_RECORD, startOf } from './dayRecord.ts';
import { type Judged, judge } from './judge.ts';
import type { Baseline, Planned } from './planned.ts';

export type Theme = 'light' | 'dark';
/** How large what is hit is: dense for a pointer, touch for fingers and gloves. */
export type Density = 'dense' | 'touch';

/** done: an act says what it did; it goes again by itself. */
export interface Notice {
  readonly tone: 'bad' | 'warn' | 'done';
  readonly text: string;
  readonly details?: readonly string[];
}
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
  /** What a person wrote beside it. */
  readonly note?: string;
  readonly scenario: Scenario;
  readonly plan: Plan | null;
  /** This version cannot read it: it is only kept. */
  readonly broken?: true;
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
/** The clinical ways out of a plan's shortages, as far as they have been looked into. */
export interface Clinical {
  /** The plan they are about. */
  readonly of: readonly Activity[];
  readonly state: 'asking' | 'answered' | 'failed';
  readonly ways: readonly ClinicalWay[];
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

/** An act that is not done yet: it changes several prescriptions, or writes over rows, and asks first. */
export interface Review {
  readonly label: string;
  readonly recipe: Recipe;
  readonly changes: readonly PrescriptionChange[];
  /** Names of rows with typed cells that it would write over. */
  readonly overwrites: readonly string[];
  /** Columns of a pasted block that it leaves out. */
  readonly leftOut: readonly LeftOut[];
  /** What may be done in its place. */
  readonly instead: Instead | null;
  /** The same from now on, of an act that would change what hung already; `at`: local time. */
  readonly fromNow: { readonly recipe: Recipe; readonly at: string } | null;
  /** What is said once it is done. */
  readonly told?: string;
}
export interface Instead {
  readonly label: string;
  readonly recipe: Recipe;
  /** Rows that it adds. */
  readonly rows: number;
}

/** The planner's run under way: it answers the session's own scenario, since an edit ends it. */
export interface PlanRun {
  /** What its answers bear: those of a run that was ended are not heard. */
  readonly number: number;
  readonly request: PlanRequest & { readonly now: number };
  /** A whole search, not a short one after an edit: a proof may begin before its end. */
  readonly long: boolean;
  /** The plan that was on screen when it began, where its minutes count from the same start. */
  readonly before: Planned | null;
  /** A person asked for it: its plan goes on screen, whoever looks. */
  readonly asked: boolean;
  /** The best found so far that is better than what is on screen. */
  readonly best: readonly Activity[] | null;
  /** How far its searches are: see `PairsProgress`. */
  readonly begun: boolean;
  readonly settled: boolean;
}
/** The proof of what no plan can do better than: of a plan shown meanwhile, it holds for any that is no worse. */
interface ProofRun {
  readonly number: number;
  readonly allowed: Score;
  readonly state: 'running' | 'proven' | 'failed';
  readonly proven: Proven | null;
}
/** A plan with what belongs to it, kept for the scenario it answers: who undoes a slip finds the plan that was there. */
export interface Answer
  extends Pick<Session, 'searched' | 'quick' | 'lost' | 'byHand' | 'baseline' | 'given'> {
  readonly planned: Planned;
  /** It was still being improved. */
  readonly open: boolean;
  /** min, when it was left. */
  readonly now: number;
}

/** A file's content that somebody else has saved since it was read here. */
export interface Newer {
  readonly file: FileRef;
  readonly text: string;
  readonly digest: string;
  /** What was read here; null: not known any more. */
  readonly base: string | null;
  /** A save of ours was refused for it: with the answers it is saved. */
  readonly saving: boolean;
}
/** What a person is asked about it. */
export interface Clash extends Newer {
  readonly conflicts: readonly Conflict[];
}

/** All that the app knows at one moment. The scenario is the only truth; faults, problem, demand and plan are computed from it. */
export interface Session extends Judged {
  readonly scenario: Scenario;
  readonly file: FileRef | null;
  readonly unsaved: boolean;
  readonly history: History;
  /** The plan on screen. It answers `planned.scenario`, which may be older than `scenario`. */
  readonly planned: Planned | null;
  /** The plan whose changes are shown: the first one made, later the last one that a person has taken note of. */
  readonly baseline: Baseline | null;
  /** What people were given to work by until now, where they have read more than one plan; null: the baseline is it. */
  readonly given: Baseline | null;
  /** A better plan that would move what somebody looks at: it waits to be taken. */
  readonly waiting: Planned | null;
  /** What was last printed or exported. */
  readonly used: readonly Activity[] | null;
  /** The plan on screen came from a whole search; false: an edit or a person cut its search short. */
  readonly searched: boolean;
  /** The last answer was a short search's, after an edit. */
  readonly quick: boolean;
  readonly explained: Explained | null;
  readonly clinical: Clinical | null;
  /** What of the work begun before now is lost, until a person has taken note of it. */
  readonly lost: readonly string[];
  /** Beside it: the plan of a careful person. */
  readonly byHand: ByHand | null;
  readonly planning: Planning;
  readonly variants: readonly Variant[];
  /** They are not as the file has them. */
  readonly variantsChanged: boolean;
  /** Plans that were searched with the same effort, by their scenario: only these are ranked. */
  readonly alike: ReadonlyMap<Scenario, Plan>;
  readonly selection: Selection;
  readonly view: View;
  readonly theme: Theme;
  readonly density: Density;
  /** percent, 80..200 */
  readonly zoom: number;
  /** The minute that the technician lead stands in, from the start. */
  readonly now: number;
  /** What was done, as every station noted it. With an entry in it, planning goes on from what was done by `now`. */
  readonly record: DayRecord;
  /** Who notes here: the name of this computer, and the initials of the person at it. */
  readonly station: string;
  readonly by: string;
  /** What is traced: as it was typed, scanned or chosen; '' nothing. */
  readonly suspect: string;
  /** The page that a view asked to have printed; '' none. */
  readonly toPrint: string;
  /** A sound before a swap window closes; off until somebody wants it. */
  readonly sound: boolean;
  /** Planning leaves alone what starts before `now`. */
  readonly holdPast: boolean;
  /** What must be said above the sheets, until it is closed or something else must be said. */
  readonly notice: Notice | null;
  /** A cell that is to be shown: its sheet comes up and the cell takes the focus. */
  readonly jump: Place | null;
  readonly review: Review | null;
  /** Of planning and proving runs so far. */
  readonly runs: number;
  readonly run: PlanRun | null;
  readonly proving: ProofRun | null;
  /** The plans of the scenarios that undo and redo can come back to. */
  readonly answers: ReadonlyMap<Scenario, Answer>;
  /** The plan that a file with errors keeps, until they are put right. */
  readonly pending: PlanInUse | null;
  /** What the file holds, as far as is known. */
  readonly clean: Scenario | null;
  /** What somebody else has saved, until it is answered. */
  readonly clash: Clash | null;
}

export const IDLE: Planning = { state: 'idle', done: 1, score: null, failure: null };
export const NOTHING: Selection = {
  activity: null,
  patient: null,
  bath: null,
  minute: null,
  question: null,
};
/** On screen until the first file is there. */
export const EMPTY: Scenario = newScenario('2031-02-03T07:00', 'UTC');

/** The session before any file has been read. */
export const opening = (): Session => ({
  scenario: EMPTY,
  ...judge(EMPTY),
  file: null,
  unsaved: false,
  history: NO_HISTORY,
  planned: null,
  baseline: null,
  given: null,
  waiting: null,
  used: null,
  searched: false,
  quick: false,
  explained: null,
  clinical: null,
  lost: [],
  byHand: null,
  planning: IDLE,
  variants: [],
  variantsChanged: false,
  alike: new Map(),
  selection: NOTHING,
  view: { arrangement: 'nephrology', ...ARRANGEMENTS.nephrology.view },
  theme: 'light',
  density: 'dense',
  zoom: 100,
  now: 0,
  record: NO_RECORD,
  station: '',
  by: '',
  suspect: '',
  toPrint: '',
  sound: false,
  holdPast: false,
  notice: null,
  jump: null,
  review: null,
  runs: 0,
  run: null,
  proving: null,
  answers: new Map(),
  pending: null,
  clean: null,
  clash: null,
});

/** What was done is noted: planning goes on from there. */
export const isRecorded = ({ record }: Pick<Session, 'record'>): boolean => record.noted.length > 0;

/** The plan on screen answers what is typed and, of a recorded day, what was noted by now. */
export const isCurrent = (session: Session): boolean => {
  const { planned, scenario, problem } = session;
  if (planned?.scenario !== scenario || !planned || !problem) return planned?.scenario === scenario;
  return !isRecorded(session) || planned.problem === startOf(session)?.problem;
};

/** min; what begins before it is held as history. */
export const heldAt = (session: Session): number =>
  session.holdPast || isRecorded(session) ? session.now : 0;

/** What is planned and what a plan is judged by, where no error stands in the way; of a recorded day what is left of it. */
export function meant({ scenario, problem, demand, record, now, planned }: Session) {
  return problem && demand
    ? meaningOf({ scenario, record, now, planned }, { scenario, problem, demand })
    : null;
}
