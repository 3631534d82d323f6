import type { Activity } from '../../src/plan/plan.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

/** A rule, a world, a plan, and exactly what that rule must say of it: [start, end, amount], nothing else. */
export interface Case {
  readonly rule: string;
  readonly name: string;
  readonly world: Scenario;
  readonly plan: readonly Activity[];
  /** Planned on from a minute, with what is under way then; absent: from the start. */
  readonly now?: { readonly at: number; readonly underWay: readonly Activity[] };
  readonly breaches: readonly (readonly [start: number, end: number, amount: number])[];
}

export const casesOf =
  (rule: string) =>
  (
    name: string,
    world: Scenario,
    plan: readonly Activity[],
    ...breaches: (readonly [number, number, number])[]
  ): Case => ({ rule, name, world, plan, breaches });
