import { type Account, accountOf, type Meaning } from '../../audit/account.ts';
import { type Moved, movedBetween } from '../../plan/moved.ts';
import { type Activity, type Plan, strongest } from '../../plan/plan.ts';
import type { Proven } from '../../planner/planner.ts';
import type { Scenario } from '../../scenario/schema.ts';

/** A plan to compare with: the last one that a person has taken note of. */
export interface Baseline {
  readonly activities: readonly Activity[];
  readonly madeAt: string;
  /** Minute from which it was made: of what came before it says nothing. */
  readonly from: number;
}
/** What differs from a plan before. */
export interface Changes extends Moved {
  readonly since: Baseline;
  /** Indexes of activities that are new or stand at another minute. */
  readonly marked: ReadonlyMap<number, 'new' | 'moved'>;
}

/** How the proof of what no plan can do better than stands; until something is proven, the plan's bound is null. */
export type Proof =
  | {
      readonly state: 'none' | 'running' | 'proven';
      /** What the reader should know of it. */
      readonly remarks?: readonly string[];
    }
  | { readonly state: 'failed'; readonly why: string };

export const proofRemarks = (proof: Proof): readonly string[] =>
  proof.state === 'failed' ? [] : (proof.remarks ?? []);

/** A plan as it is shown: its account, with the scenario that it answers (an edit may have moved on since). */
export interface Planned extends Account {
  /** Local time of this computer when it was made, e.g. 2031-02-03 06:12. */
  readonly madeAt: string;
  /** Null for a first plan. */
  readonly changes: Changes | null;
  readonly proof: Proof;
  /** min; what begins before was held as history, 0: nothing. */
  readonly held: number;
}

/** Minutes of both count from the same one. */
export const sameClock = (a: Scenario, b: Scenario): boolean =>
  a.start === b.start && a.timeZone === b.timeZone;

const two = (number: number): string => String(number).padStart(2, '0');
/** e.g. 2031-02-03 06:12 */
export const localTime = (date: Date): string =>
  `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())} ${two(date.getHours())}:${two(date.getMinutes())}`;

/** What a plan changes against one before; null where there is none. */
export function changesOf(since: Baseline | null, activities: readonly Activity[]): Changes | null {
  if (!since) return null;
  const moved = movedBetween(since.activities, activities);
  const marked = new Map<number, 'new' | 'moved'>([
    ...moved.added.map((index) => [index, 'new'] as const),
    ...moved.shifted.map(({ index }) => [index, 'moved'] as const),
  ]);
  return { ...moved, since, marked };
}

/**
 * What a plan from `held` on is compared with: of a day that is recorded nothing that was planned before, for it is done, or
 * it is planned anew and is no task that was moved. A plan that holds its history is compared with all.
 */
function aheadOf(since: Baseline | null, activities: readonly Activity[], held: number): Baseline | null {
  if (!since || held === 0 || activities.some(({ end }) => end < held)) return since;
  return { ...since, activities: since.activities.filter(({ start }) => start >= held) };
}

export type { Meaning };

/** Under what a plan is shown. */
interface Showing extends Pick<Planned, 'held' | 'madeAt'> {
  readonly since: Baseline | null;
  readonly proof?: Proof;
}

/** No plan is shown unjudged: the plan check counts needs and score anew and looks at every rule. */
export function judgePlan(meaning: Meaning, plan: Plan, showing: Showing): Planned {
  const { since, held, madeAt, proof = { state: 'none' } } = showing;
  return {
    ...accountOf(meaning, plan, { now: held }),
    madeAt,
    changes: changesOf(aheadOf(since, plan.activities, held), plan.activities),
    proof,
    held,
  };
}

/** The plan with what is now proven of it and what was before: both hold. `running`: more may follow. */
export function toldBy(plan: Plan, proven: Proven, state: 'running' | 'proven'): Plan {
  return {
    ...plan,
    bound: strongest(plan.bound, proven),
    remarks: state === 'proven' ? [...new Set([...plan.remarks, ...proven.remarks])] : plan.remarks,
  };
}

/** The same plan with what is now proven of it, judged again. */
export function withProof(planned: Planned, proven: Proven, state: 'running' | 'proven'): Planned {
  const plan = toldBy(planned.plan, proven, state);
  return { ...planned, ...accountOf(planned, plan, { now: planned.held }), proof: { state } };
}
