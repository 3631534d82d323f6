import * as Comlink from 'comlink';
import { demandOf } from '../../demand/demand.ts';
import { type Harm, type Held, harmOf, playMany, type Tried } from '../../hold/hold.ts';
import type { Variation } from '../../hold/variation.ts';
import type { Activity } from '../../plan/plan.ts';
import { startAt } from '../../record/from.ts';
import type { Noted } from '../../record/journal.ts';
import { compile } from '../../scenario/problem/compile.ts';
import type { Scenario } from '../../scenario/schema.ts';

/** A plan and what it was made for; plain data, since it crosses to another thread. */
export interface HoldJob {
  readonly scenario: Scenario;
  readonly activities: readonly Activity[];
  /** What was done, of a recorded day, and the minute it goes on from. */
  readonly noted: readonly Noted[];
  readonly now: number;
  /** min */
  readonly until: number;
}

/** Plays one plan again and again: it is read once. */
class Hold {
  private tried: Tried | null = null;

  begin({ scenario, activities, noted, now, until }: HoldJob): void {
    const problem = noted.length > 0 ? startAt(scenario, noted, now).problem : compile(scenario);
    this.tried = { problem, demand: demandOf(problem), activities, until };
  }
  play(variation: Variation, days: Parameters<typeof playMany>[2]): Held {
    return playMany(this.tried!, variation, days);
  }
  harm(by: number): Harm[] {
    return harmOf(this.tried!, by);
  }
}
export type HoldService = Hold;

Comlink.expose(new Hold());
