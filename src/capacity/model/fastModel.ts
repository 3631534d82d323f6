import type { Problem } from '../../scenario/problem/types.ts';
import type { Draw } from '../draws/draw.ts';
import { Lots } from './lots.ts';
import { Ready } from './ready.ts';
import { EPSILON, type Outcome, Serving } from './serving.ts';
import { type SupplyPlan, supplyPlanOf } from './supplies.ts';

/** Share of the bags asked for below which a run counts as nearly served. */
const NEARLY = 0.1;

/**
 * Whether machines, technicians, water and supplies can have ready what one run needs, without making a plan: the bags
 * each machine can have ready for each round, less what technicians and water hold up, serve the rounds in order of
 * time, whole fills at a time. Built once a site; `judge` then allocates next to nothing.
 */
export class FastModel {
  readonly most: number;
  readonly supplies: SupplyPlan;
  /** After `judge`: the bags that this run wants made, by [bath x rounds + round], stock used first. */
  readonly wanted: Float64Array;
  readonly #ready: Ready;
  readonly #lots: Lots;
  readonly #serving: Serving;
  readonly #baths: number;
  /** Number of baths that each round wants made. */
  readonly #wantedBaths: Uint8Array;

  /** @param most the largest number of machines that will be asked about */
  constructor(problem: Problem, most: number) {
    const { baths, rounds } = problem;
    this.most = most;
    this.#ready = new Ready(problem, most);
    this.#lots = new Lots(problem);
    this.supplies = supplyPlanOf(problem, this.#ready);
    this.#serving = new Serving(problem, { ready: this.#ready, lots: this.#lots, supplies: this.supplies });
    this.#baths = baths.length;
    this.wanted = new Float64Array(baths.length * rounds.length);
    this.#wantedBaths = new Uint8Array(rounds.length);
  }

  /** Outcome for `least`..most machines, at machines - 1; default from one machine on. */
  judge(draw: Draw, into: Outcome[], least = 1): void {
    const asked = this.#takeStock(draw.need);
    this.#ready.begin(draw, this.#wantedBaths);
    for (let count = 1; count <= this.most; count++) {
      this.#ready.add(count - 1);
      if (count < least) continue;
      this.#ready.limit(count);
      const out = into[count - 1]!;
      this.#serve(draw.need, asked, out);
      // A machine more can stand idle, so it never does harm.
      const fewer = into[count - 2];
      if (count > least && fewer && out.bagsShort > fewer.bagsShort) Object.assign(out, fewer);
      if (out.bagsShort <= out.openingShort + EPSILON) {
        // Nothing but stock is short: more machines change nothing.
        for (let more = count; more < this.most; more++) Object.assign(into[more]!, out);
        return;
      }
    }
  }

  /** Takes lots for the need, as far as they go. @returns bags still wanted in all */
  #takeStock(need: Draw['need']): number {
    const rounds = this.#wantedBaths.length;
    let asked = 0;
    this.#lots.refill();
    this.#wantedBaths.fill(0);
    for (let bath = 0, at = 0; bath < this.#baths; bath++)
      for (let r = 0; r < rounds; r++, at++) {
        const wanted = this.#lots.take(bath, r, need[at]!);
        this.wanted[at] = wanted;
        asked += wanted;
        if (wanted > 0) this.#wantedBaths[r]! += 1;
      }
    return asked;
  }

  #serve(need: Draw['need'], asked: number, out: Outcome): void {
    const { outcome } = this.#serving;
    this.#serving.serve(this.wanted, false);
    Object.assign(out, outcome);
    // Which lots go first matters where little is short, not where nearly everything is.
    if (out.bagsShort <= EPSILON || this.#lots.count === 0 || out.bagsShort >= NEARLY * asked) return;
    this.#lots.refill();
    this.#serving.serve(need, true);
    if (outcome.bagsShort < out.bagsShort - EPSILON) Object.assign(out, outcome);
  }
}
