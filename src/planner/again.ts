import { compareScores, type Plan } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem.ts';
import type { ExplainOptions } from './explain.ts';
import type { Planner, PlanOptions } from './planner.ts';

/** L that make no difference. */
export const SAME = 1e-6;

/** Tries of a quick plan; of a closer look in a plan of WEEK fills or fewer, in a larger one fewer. */
const TRIES = 60;
const CLOSER_TRIES = 3000;
const WEEK = 400;

/** The better plan, of equals the second. */
export const better = (a: Plan, b: Plan): Plan => (compareScores(a.score, b.score) < 0 ? a : b);

/**
 * Plans relaxed problems again, from one plan on, as often as allowed. Quickly, as after an edit; and with a closer look
 * where that does not clear everything: one more technician at night lets every fill of a week begin a little sooner, but
 * no quick plan makes a set of bags of it.
 */
export class Again {
  used = 0;
  /** Plans made at most, all together. */
  allowed: number;
  private readonly plan: Plan;
  private readonly replan: Planner;
  private readonly lost: number;
  private readonly options: Pick<ExplainOptions, 'tries' | 'onProgress' | 'stop'>;

  /** @param lost L that no plan can cover */
  constructor(
    plan: Plan,
    replan: Planner,
    lost: number,
    options: Pick<ExplainOptions, 'tries' | 'onProgress' | 'stop'> & { readonly replans: number },
  ) {
    this.plan = plan;
    this.replan = replan;
    this.lost = lost;
    this.options = options;
    this.allowed = options.replans;
  }

  get spent(): boolean {
    return this.used >= this.allowed || (this.options.stop?.() ?? false);
  }

  quickly(relaxed: Problem): Promise<Plan> {
    return this.make(relaxed, { tries: this.options.tries ?? TRIES, previous: this.plan.activities });
  }

  /** Goes on from a plan; the same plan when nothing better is found. */
  async closely(relaxed: Problem, from: Plan): Promise<Plan> {
    if (from.score.unmetLitres <= this.lost + SAME || this.spent) return from;
    const fills = this.plan.activities.filter(({ kind }) => kind === 'fill').length;
    const tries = Math.round(CLOSER_TRIES * Math.min(1, WEEK / Math.max(1, fills)));
    return better(await this.make(relaxed, { tries, from: from.activities }), from);
  }

  private make(relaxed: Problem, how: Pick<PlanOptions, 'tries' | 'previous' | 'from'>): ReturnType<Planner> {
    this.used += 1;
    this.options.onProgress?.(this.used);
    return this.replan(relaxed, { ...how, seed: 1 });
  }
}
