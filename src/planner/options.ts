import type { Activity, Bound, Plan, Score } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import type { Lines } from './schedule/segment.ts';

/** A plan so far, told while the search goes on. */
export interface Progress {
  /** 0..1 of the allowed work. */
  readonly done: number;
  readonly score: Score;
  readonly bound: Bound | null;
  readonly activities: readonly Activity[];
}

export interface PlanOptions {
  /** Same scenario, seed and work: same plan. Default 1. */
  readonly seed?: number;
  /** Work allowed, in tries of a whole schedule; default grows with the scenario. */
  readonly tries?: number;
  /** Anneal cooler, around the best start: at times that leads further. Default: only where there are few tries. */
  readonly cool?: boolean;
  /** There are seconds, not minutes: short searches one after the other, whose plans are good whenever the clock strikes. */
  readonly hasty?: boolean;
  /** A plan of the same scenario to search on from: as hot as from the beginning, with half as many tries. */
  readonly from?: readonly Activity[];
  /** One of several searches: it begins from the lines of another one, too, and tells its own with its plan. */
  readonly lines?: { readonly of: Lines | null };
  /** Last guard, s of wall clock; when it strikes a remark says so. Needs `clock`. */
  readonly seconds?: number;
  /** Wall clock in ms; the core has none of its own. */
  readonly clock?: () => number;
  /** A plan to start from, e.g. the one before an edit: what need not change is kept. */
  readonly previous?: readonly Activity[];
  /** Activities of `previous` that start before this minute are history and stay. Default 0: nothing is. */
  readonly now?: number;
  /** What has begun and not ended at the problem's `now`, with real begins; a fill's end is chosen inside its window. */
  readonly underWay?: readonly Activity[];
  /** Of a plan before `now`, what should have begun and has not: it is begun late where that serves no less. In order of time. */
  readonly overdue?: readonly Activity[];
  /** Of `previous`, what begins within so many minutes of `now` stays unless that breaks a rule. Default 120. */
  readonly steadyMinutes?: number;
  /** Awaited now and then, so that a thread can hear messages meanwhile. */
  readonly pause?: () => Promise<void>;
  readonly onProgress?: (progress: Progress) => void;
  /** Asked between tries; true: return the best plan so far. */
  readonly stop?: () => boolean;
}

/** A plan with the lines that it was dispatched from, where these were asked for: activities do not tell all of them. */
export interface Made extends Plan {
  readonly lines?: Lines;
}

/** What every planner is. Never rejects for a shortage: what stays unmet is in the plan's needs and score. */
export type Planner = (problem: Problem, options?: PlanOptions) => Promise<Made>;
