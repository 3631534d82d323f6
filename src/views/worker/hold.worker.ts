import * as Comlink from 'comlink';
import { demandOf } from '../../demand/demand.ts';
import { type Harm, type Held, harmOf, playMany, type Tried } from '../../hold/hold.ts';
import { type Learned, learnedFrom } from '../../hold/learned.ts';
import type { SlackOffer } from '../../hold/offers.ts';
import { playRemade } from '../../hold/remade.ts';
import type { Variation } from '../../hold/variation.ts';
import type { Activity } from '../../plan/plan.ts';
import { keepsSlack, planOn, replan } from '../../planner/plan.ts';
import { type Start, startAt } from '../../record/from.ts';
import type { Noted } from '../../record/journal.ts';
import { compile } from '../../scenario/problem/compile.ts';
import type { Slack } from '../../scenario/problem/types.ts';
import type { Scenario } from '../../scenario/schema.ts';

/** A plan and what it was made for; plain data, since it crosses to another thread. */
export interface HoldJob {
  readonly scenario: Scenario;
  readonly activities: readonly Activity[];
  /** What was done, of a recorded day, and the minute it goes on from. */
  readonly noted: readonly Noted[];
  readonly now: number;
  /** min; without a record, what the plan begins before it is held as history. */
  readonly held: number;
  /** min */
  readonly until: number;
}
type Days = Parameters<typeof playMany>[2];

/** Work allowed for a plan with slack, in tries of a whole schedule: somebody waits for it. */
const TRIES = 1000;

/** Plays one plan again and again: it is read once. */
class Hold {
  private job: HoldJob | null = null;
  private tried: Tried | null = null;
  private start: Start | null = null;

  begin(job: HoldJob): void {
    const { scenario, activities, noted, now, until } = job;
    this.job = job;
    this.start = noted.length > 0 ? startAt(scenario, noted, now, activities) : null;
    const problem = this.start?.problem ?? compile(scenario);
    this.tried = { problem, demand: demandOf(problem), activities, until };
  }
  play(variation: Variation, days: Days): Held {
    return playMany(this.tried!, variation, days);
  }
  harm(by: number): Harm[] {
    return harmOf(this.tried!, by);
  }
  /** What the record shows of how days differ; null where there is none. */
  learned(): Learned | null {
    return this.start && learnedFrom(this.start.problem, this.start.state);
  }
  /** A plan with this slack, made from the one that is played, and how it holds on the same days; null: none serves as much. */
  async offer(slack: Slack, variation: Variation, days: Days): Promise<SlackOffer | null> {
    const tried = this.tried!;
    const { held } = this.job!;
    const { activities: before } = tried;
    const problem = { ...tried.problem, slack };
    const how = { tries: TRIES, seed: 1 };
    const made = this.start
      ? await planOn(problem, { ...how, underWay: this.start.underWay, previous: before, anew: true })
      : await replan(problem, held > 0 ? { ...how, previous: before, now: held } : { ...how, from: before });
    const { activities, score } = made;
    if (!keepsSlack(made)) return null;
    return { slack, activities, score, held: playMany({ ...tried, activities }, variation, days) };
  }
  /** One day on which the plan is made anew at each mishap. */
  async remade(variation: Variation, days: { readonly seed: number; readonly day: number }): Promise<Held> {
    const { scenario, noted } = this.job!;
    return (await playRemade({ ...this.tried!, scenario, noted }, variation, days)).held;
  }
}
export type HoldService = Hold;

Comlink.expose(new Hold());
