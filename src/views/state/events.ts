import type { FileRef, KeptDraft, NotedLines, OpenedFile, RecordPart } from '../../bridge.ts';
import type { LeftOut } from '../../grid/headings.ts';
import type { Recipe } from '../../grid/history.ts';
import type { Place } from '../../grid/where.ts';
import type { SlackOffer } from '../../hold/offers.ts';
import type { Activity, Plan, Score } from '../../plan/plan.ts';
import type { ClinicalWay, Shortage } from '../../planner/plan.ts';
import type { Proven } from '../../planner/planner.ts';
import type { Draft } from '../../record/entries.ts';
import type { Side } from '../../scenario/merge.ts';
import type { Scenario } from '../../scenario/schema.ts';
import type { ByHand, PlanRequest } from '../worker/plan.worker.ts';
import type { Arrangement, View } from './arrangements.ts';
import type { PairsProgress } from './planning.ts';
import type { Instead, Newer, Notice, Selection, Session } from './session.ts';

/** A command on files, as a person gives it. `blank`: the new scenario. */
export type FileWish =
  | { readonly act: 'create'; readonly blank: Scenario }
  | { readonly act: 'open' | 'save' | 'saveAs' }
  | { readonly act: 'openRecent'; readonly handle: string };

/** One act of a person on the scenario: one undo step. */
export interface Act {
  readonly label: string;
  readonly recipe: Recipe;
  /** Names of rows with typed cells that it would write over: it asks first. */
  readonly overwrites?: readonly string[];
  readonly instead?: Instead;
  /** Columns of a pasted block that nothing matches: it asks first. */
  readonly leftOut?: readonly LeftOut[];
  /** A later prescription is given from bed to bed by typing its owner: the row is in sight, so nothing is asked. */
  readonly givesRow?: boolean;
  /** What is said once it is done, e.g. 'Deleted bed-04 and bed-05.' */
  readonly told?: string;
}
/** What a person says to an act that asks. `leftOut`: rows of beds that stay as they are. */
export type Answered =
  | { readonly go: 'on' | 'fromNow'; readonly leftOut: ReadonlySet<number> }
  | { readonly go: 'instead' }
  | { readonly go: 'back' };

/** What a person may set without an undo step. */
export type Settings = Pick<
  Session,
  | 'theme'
  | 'density'
  | 'zoom'
  | 'now'
  | 'holdPast'
  | 'variants'
  | 'alike'
  | 'station'
  | 'by'
  | 'suspect'
  | 'toPrint'
  | 'sound'
>;

/** What is asked and told of the clinical ways out of a plan's shortages. */
export type ClinicalEvent =
  | { readonly is: 'askClinical' }
  | { readonly is: 'stopClinical' }
  | { readonly is: 'clinicalWay'; readonly of: readonly Activity[]; readonly way: ClinicalWay }
  | { readonly is: 'clinicalDone'; readonly of: readonly Activity[] }
  | { readonly is: 'clinicalFailed'; readonly of: readonly Activity[]; readonly why: string };

/** What happens: acts of a person, and answers of threads and files. Those of planner and prover bear their run's number. */
export type Event =
  | { readonly is: 'edit'; readonly act: Act }
  | { readonly is: 'reviewed'; readonly answer: Answered }
  | { readonly is: 'undo' | 'redo' | 'noteChanges' | 'explain' | 'stopExplaining' | 'cancelPlanning' }
  /** The better plan that waits goes on screen, or is dropped. */
  | { readonly is: 'waitingAnswered'; readonly take: boolean }
  /** The plan on screen goes to paper or into a file. */
  | { readonly is: 'used' }
  | { readonly is: 'load'; readonly scenario: Scenario; readonly file: FileRef | null }
  | { readonly is: 'saved'; readonly file: FileRef }
  | { readonly is: 'replan'; readonly anew: boolean }
  /** A plan with slack goes on screen; null: the plan is to keep none. */
  | { readonly is: 'slackTaken'; readonly offer: Pick<SlackOffer, 'slack' | 'activities'> | null }
  | { readonly is: 'select'; readonly part: Partial<Selection> }
  | { readonly is: 'show'; readonly part: Partial<View> }
  | { readonly is: 'arrange'; readonly arrangement: Arrangement }
  | { readonly is: 'set'; readonly part: Partial<Settings> }
  | { readonly is: 'say'; readonly notice: Notice | null }
  /** A note goes again after a while, unless something else is said meanwhile. */
  | { readonly is: 'faded'; readonly notice: Notice }
  | { readonly is: 'jump'; readonly place: Place }
  | { readonly is: 'landed' }
  // The planner.
  | { readonly is: 'progress'; readonly run: number; readonly progress: PairsProgress }
  | { readonly is: 'planned'; readonly run: number; readonly plan: Plan }
  | { readonly is: 'byHand'; readonly run: number; readonly byHand: ByHand }
  | { readonly is: 'planFailed'; readonly run: number; readonly why: string }
  // The prover.
  | {
      readonly is: 'proven';
      readonly run: number;
      readonly state: 'running' | 'proven';
      readonly proven: Proven;
    }
  | { readonly is: 'proofFailed'; readonly run: number; readonly why: string }
  // Explanations, of a plan's activities.
  | { readonly is: 'explaining'; readonly of: readonly Activity[]; readonly replans: number }
  | { readonly is: 'shortage'; readonly of: readonly Activity[]; readonly shortage: Shortage }
  | { readonly is: 'explained'; readonly of: readonly Activity[]; readonly shortages: readonly Shortage[] }
  | { readonly is: 'explainFailed'; readonly of: readonly Activity[]; readonly why: string }
  | ClinicalEvent
  // The record of the day.
  | { readonly is: 'note'; readonly drafts: readonly Draft[] }
  | { readonly is: 'noted'; readonly answer: NotedLines; readonly drafts: readonly Draft[] }
  | { readonly is: 'noteFailed'; readonly why: string; readonly drafts: readonly Draft[] }
  /** Next week from this one: a new scenario with what the record leaves. */
  | { readonly is: 'continue' }
  /** Time to look what other stations noted. */
  | { readonly is: 'watch' }
  | { readonly is: 'recordRead'; readonly of: string; readonly parts: readonly RecordPart[] }
  | { readonly is: 'recordUnread'; readonly why: string }
  // Files. settled: what was being typed is in the session; agreed: what is not saved may go.
  | {
      readonly is: 'file';
      readonly wish: FileWish;
      readonly stage: 'asked' | 'settled' | 'agreed';
    }
  | { readonly is: 'fileRead'; readonly opened: OpenedFile | null }
  /** `of`: what was written; null file: the person changed their mind; `notice`: what must be said with it. */
  | {
      readonly is: 'fileWritten';
      readonly file: FileRef | null;
      readonly of: Scenario;
      readonly notice?: Notice | null;
    }
  /** Somebody else has saved: a save of ours was refused, or a look at the file has shown it. */
  | { readonly is: 'fileNewer'; readonly newer: Newer }
  /** Answers about what somebody else has saved; null: not now. */
  | { readonly is: 'clashAnswered'; readonly choices: ReadonlyMap<string, Side> | null }
  /** Edits of a page that died are taken up. */
  | { readonly is: 'draftTaken'; readonly draft: KeptDraft }
  | { readonly is: 'fileFailed'; readonly why: string };

/** What a step asks of the world outside; the runner does it and reports back in events. */
export type Effect =
  | {
      readonly do: 'plan';
      readonly run: number;
      readonly wait: number /** ms */;
      readonly request: PlanRequest;
    }
  /** `endSearch`: nothing better is there to be found; the run ends with what it has, as soon as may be. */
  | { readonly do: 'endSearch' | 'stopPlanning' | 'stopProving' | 'stopExplaining' | 'stopClinical' }
  | { readonly do: 'prove'; readonly run: number; readonly scenario: Scenario; readonly allowed: Score }
  | { readonly do: 'askClinical'; readonly scenario: Scenario; readonly plan: Plan }
  | { readonly do: 'explain'; readonly scenario: Scenario; readonly plan: Plan }
  /** What is being typed comes into the session first. */
  | { readonly do: 'settle'; readonly next: Event }
  | { readonly do: 'later'; readonly wait: number /** ms */; readonly next: Event }
  | { readonly do: 'ask'; readonly text: string; readonly next: Event }
  | {
      readonly do: 'note';
      readonly handle: string;
      readonly station: string;
      readonly drafts: readonly Draft[];
    }
  | {
      readonly do: 'readRecord';
      readonly handle: string;
      readonly known: Readonly<Record<string, number>>;
    }
  | { readonly do: 'open' }
  | { readonly do: 'openRecent'; readonly handle: string }
  | {
      readonly do: 'save';
      readonly file: FileRef;
      readonly text: string;
      readonly of: Scenario;
      readonly notice?: Notice | null;
    }
  | { readonly do: 'saveAs'; readonly name: string; readonly text: string; readonly of: Scenario };

/** A session after an event, and what is to be done about it outside. */
export interface Step {
  readonly session: Session;
  readonly effects: readonly Effect[];
}

/** The session with some of its fields changed, and what is to be done besides. */
export const step = (session: Session, part: Partial<Session> = {}, ...effects: readonly Effect[]): Step => ({
  session: { ...session, ...part },
  effects,
});

/** One step after another. */
export function after(before: Step, act: (session: Session) => Step): Step {
  const { session, effects } = act(before.session);
  return { session, effects: [...before.effects, ...effects] };
}
