import type { Plan } from '../../plan/plan.ts';
import type { Variant as Compared } from '../../reports/compare.ts';
import { compile } from '../../scenario/problem/compile.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Scenario } from '../../scenario/schema.ts';
import type { Planned } from '../state/planned.ts';
import type { Variant } from '../state/session.ts';

interface Kept {
  readonly variants: readonly Variant[];
  /** Plans that were searched with the same effort, from each scenario's start. */
  readonly plans: ReadonlyMap<Scenario, Plan>;
  readonly planned: Planned;
  /** Of a recorded day the scenario on screen, compiled from its start; else null. */
  readonly whole: Problem | null;
}

/**
 * The variants with a plan each, and the scenario on screen. Of a recorded day the plan on screen is one of what is left, and
 * what is left is less work: all plans compared are then those from each scenario's start.
 */
export function shownVariants({ variants, plans, planned, whole }: Kept) {
  const sound = variants.filter(({ broken }) => !broken);
  const scenarios = [...sound.map(({ scenario }) => scenario), planned.scenario];
  const alike = scenarios.length > 1 && scenarios.every((scenario) => plans.has(scenario));
  const planOf = (scenario: Scenario, other: Plan | null) =>
    alike ? plans.get(scenario)! : whole ? null : other;
  const shown: Compared[] = sound.flatMap(({ name, title, note, scenario, plan: made }) => {
    const plan = planOf(scenario, made);
    const said = { ...(title !== undefined && { title }), ...(note && { note }) };
    return plan ? [{ name, ...said, scenario, problem: compile(scenario), plan }] : [];
  });
  const plan = planOf(planned.scenario, planned.plan);
  const { scenario, problem } = planned;
  if (plan) shown.push({ name: 'now', title: 'on screen', scenario, problem: whole ?? problem, plan });
  return { shown, alike, scenarios, unplanned: scenarios.length - shown.length };
}
