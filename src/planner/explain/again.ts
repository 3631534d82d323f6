import { fillsIn, type Plan } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Planner, PlanOptions } from '../options.ts';
import { DutyFault } from '../schedule/placeDuties.ts';
import { betterPlan } from '../search/rivals.ts';
import { WEEK } from '../search/stages.ts';
import { SAME } from './shortages.ts';

/** How much of a relief, and in which minutes (technicians only). */
export interface Amount {
  readonly by: number;
  readonly from: number;
  readonly to: number;
}

/** A problem with one limit relaxed; `probe`: its number among `probesOf`, null: as it stands. Without `problem` it is plain data. */
export interface Relaxed {
  readonly problem: Problem;
  readonly probe: number | null;
  readonly amount: Amount;
}

/** How a plan is made again. */
export type AgainHow = Required<Pick<PlanOptions, 'tries' | 'seed'>> & Pick<PlanOptions, 'previous' | 'from'>;

/** Other threads that plan a relaxed problem. */
interface Elsewhere {
  readonly threads: number;
  /** Null: a duty finds no place. To end by itself when time is over. */
  readonly plan: (relaxed: Omit<Relaxed, 'problem'>, how: AgainHow) => Promise<Plan | null>;
}

export interface AgainOptions {
  /** Where plans are made, as many at a time as there are threads. Default: here, one after the other. */
  readonly elsewhere?: Elsewhere;
  /** Tries for each plan made again quickly. Default 60. */
  readonly tries?: number;
  /** Plans made again at most; what is then not narrowed down says so. Default 160. */
  readonly replans?: number;
  readonly onProgress?: (replans: number) => void;
  readonly stop?: () => boolean;
  /** True from when on no closer look is worth its time: what is left is for quick plans. Default: never. */
  readonly hurry?: () => boolean;
}

const TRIES = 60;
const REPLANS = 160;
/** Tries of a closer look in a plan of WEEK fills or fewer; in a larger one fewer. */
const CLOSER_TRIES = 3000;

/**
 * Plans relaxed problems again, from one plan on, as often as allowed. Quickly, as after an edit; and with a closer look
 * where that does not clear everything: one more technician at night lets every fill of a week begin a little sooner, but
 * no quick plan makes a set of bags of it.
 */
export class Again {
  private used = 0;
  private allowed: number;
  private readonly plan: Plan;
  private readonly replan: Planner;
  private readonly lost: number;
  private readonly replans: number;
  private readonly options: AgainOptions;

  /** @param lost L that no plan can cover */
  constructor(plan: Plan, replan: Planner, lost: number, options: AgainOptions) {
    this.plan = plan;
    this.replan = replan;
    this.lost = lost;
    this.options = options;
    this.replans = options.replans ?? REPLANS;
    this.allowed = this.replans;
  }

  get spent(): boolean {
    return this.used >= this.allowed || (this.options.stop?.() ?? false);
  }

  /** Until told otherwise no more than one of so many equal parts of what is left may be used. */
  share(parts: number): void {
    this.allowed = this.used + Math.ceil((this.replans - this.used) / parts);
  }

  /** Plans that may be made at a time. */
  get atATime(): number {
    return this.options.elsewhere?.threads ?? 1;
  }

  quickly(relaxed: Relaxed): Promise<Plan> {
    return this.make(relaxed, { tries: this.options.tries ?? TRIES, previous: this.plan.activities });
  }

  /** Goes on from a plan; the same plan when nothing better is found. */
  async closely(relaxed: Relaxed, from: Plan): Promise<Plan> {
    if (from.score.unmetLitres <= this.lost + SAME || this.spent || this.options.hurry?.()) return from;
    const fills = fillsIn(this.plan.activities);
    const tries = Math.round(CLOSER_TRIES * Math.min(1, WEEK / Math.max(1, fills)));
    return betterPlan(from, await this.make(relaxed, { tries, from: from.activities }));
  }

  private async make(relaxed: Relaxed, told: Omit<AgainHow, 'seed'>): ReturnType<Planner> {
    const { stop, hurry, onProgress, elsewhere } = this.options;
    const how = { ...told, seed: 1 };
    this.used += 1;
    onProgress?.(this.used);
    // A closer look is given up as soon as time is short; a quick plan only when all is to end.
    const over = () => (stop?.() ?? false) || (how.from !== undefined && (hurry?.() ?? false));
    const { problem, ...plain } = relaxed;
    if (elsewhere) return (await elsewhere.plan(plain, how)) ?? this.plan;
    return this.replan(problem, { ...how, stop: over }).catch((error: unknown) => {
      // Another machine's duties may find no place: then it is no way out.
      if (error instanceof DutyFault) return this.plan;
      throw error;
    });
  }
}
