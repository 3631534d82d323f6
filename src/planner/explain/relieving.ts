import type { Plan } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { betterPlan } from '../search/rivals.ts';
import type { Again, Amount, Relaxed } from './again.ts';
import type { Probe } from './probeKinds.ts';
import { SAME } from './shortages.ts';

/** Plans with one limit relaxed, each made once: many shortages ask the same. */
export class Relieving {
  readonly problem: Problem;
  readonly again: Again;
  /** The best plan without any relief: no relief may claim what planning longer alone would do. */
  base: Plan;
  private readonly probes: readonly Probe[];
  private readonly known = new Map<string, Plan>();
  private readonly lookedClosely = new Set<string>();
  private readonly wantCloser = new Set<Probe>();

  /** @param probes of the problem, by their number */
  constructor(problem: Problem, plan: Plan, { again, probes }: { again: Again; probes: readonly Probe[] }) {
    this.problem = problem;
    this.probes = probes;
    this.base = plan;
    this.again = again;
  }

  /** Plans again without any relief. @param closely with a closer look at the best so far */
  async control(closely: boolean): Promise<void> {
    const { again, problem } = this;
    if (again.spent) return;
    const asItIs = { problem, probe: null, amount: { by: 0, from: 0, to: problem.horizon } };
    const made = closely ? await again.closely(asItIs, this.base) : await again.quickly(asItIs);
    if (made.score.unmetLitres < this.base.score.unmetLitres) this.base = made;
  }

  /** The plan with so much of a relief; null when no more plans may be made. */
  async planWith(probe: Probe, amount: Amount, closely = false): Promise<Plan | null> {
    const { again, known, lookedClosely } = this;
    const key = keyOf(probe, amount);
    const before = known.get(key);
    const close = closely || this.wantCloser.has(probe);
    if ((before && (!close || lookedClosely.has(key))) || again.spent) return before ?? null;
    const relaxed = this.relaxed(probe, amount);
    const quick = before ?? (await again.quickly(relaxed));
    // What is valid stays so with a limit relaxed.
    const made = close ? await again.closely(relaxed, betterPlan(this.base, quick)) : quick;
    if (close) lookedClosely.add(key);
    known.set(key, made);
    return made;
  }

  private relaxed(probe: Probe, amount: Amount): Relaxed {
    const problem = probe.relax(amount.by, amount.from, amount.to);
    return { problem, probe: this.probes.indexOf(probe), amount };
  }

  /** The plan with the most of a relief; null when no more plans may be made. */
  most(probe: Probe): Promise<Plan | null> {
    return this.planWith(probe, mostOf(probe, this.problem));
  }

  /** A closer look at the most of a relief. What only that finds, no quick plan will find of less. */
  async closer(probe: Probe, quick: Plan): Promise<Plan> {
    const amount = mostOf(probe, this.problem);
    const relaxed = this.relaxed(probe, amount);
    const best = await this.again.closely(relaxed, betterPlan(this.base, quick));
    this.known.set(keyOf(probe, amount), best);
    this.lookedClosely.add(keyOf(probe, amount));
    if (best.score.unmetLitres < quick.score.unmetLitres - SAME) this.wantCloser.add(probe);
    return best;
  }
}

const mostOf = ({ most }: Probe, { horizon }: Problem): Amount => ({ by: most, from: 0, to: horizon });

const keyOf = (probe: Probe, { by, from, to }: Amount) => JSON.stringify([probe.tellMost, by, from, to]);
