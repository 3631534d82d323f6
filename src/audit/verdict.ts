import type { Activity, NeedRow, Score } from '../plan/plan.ts';
import type { Facts } from './facts.ts';

/** One way in which a plan breaks a rule. */
export interface Violation {
  /** Id of the rule. */
  readonly rule: string;
  /** A sentence for a reader: who or what, local times, what is wrong and by how much. */
  readonly message: string;
  /** Minutes from the scenario's start, [start, end). */
  readonly start: number;
  readonly end: number;
  /** Machine, water source, supply or shift concerned; empty when it is none of these. */
  readonly place: string;
  /** By how much, above 0, in `unit`. */
  readonly amount: number;
  readonly unit: string;
}

/** What one rule found, and how many things it looked at. */
export interface Finding {
  readonly violations: readonly Violation[];
  readonly count: number;
}

/** A violation before its rule puts its name on it. */
export type Wrong = Omit<Violation, 'rule'>;

export interface Rule {
  readonly id: string;
  /** The rule in a sentence. */
  readonly says: string;
  /** What `count` counts, e.g. activities. */
  readonly counts: string;
  readonly judge: (facts: Facts) => Finding;
}

/** A rule whose violations bear its name. */
export const ruleOf = ({
  judge,
  ...rule
}: Omit<Rule, 'judge'> & {
  readonly judge: (facts: Facts) => { readonly violations: readonly Wrong[]; readonly count: number };
}): Rule => ({
  ...rule,
  judge(facts) {
    const { violations, count } = judge(facts);
    return { violations: violations.map((wrong) => ({ rule: rule.id, ...wrong })), count };
  },
});

export interface Checked {
  readonly rule: string;
  readonly says: string;
  readonly count: number;
  readonly counts: string;
}

/** The audit's word on a plan: `needs` and `score` are its own count, whatever the plan claims. */
export interface Verdict {
  readonly ok: boolean;
  /** In the order of the rules, within a rule by time. */
  readonly violations: readonly Violation[];
  /** What was done before `AuditOptions.now` against a rule as it stands now: told, but nothing to be done about. */
  readonly history: readonly Violation[];
  readonly score: Score;
  readonly needs: readonly NeedRow[];
  readonly checked: readonly Checked[];
}

export interface AuditOptions {
  /** min; what begins before is history: it stands, and what is under way then goes on to its end. Default 0. */
  readonly now?: number;
  /**
   * What is under way where a day is planned on (`Problem.now` above 0), as the record has it: it began before, may lie
   * across that minute, and is judged from then on only.
   */
  readonly underWay?: readonly Activity[];
}
