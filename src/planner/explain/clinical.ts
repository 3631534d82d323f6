import type { Plan } from '../../plan/plan.ts';
import { dosesAtMost, hoursAtMost, substituted } from '../../scenario/clinical.ts';
import { compile } from '../../scenario/problem/compile.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Scenario, SubstituteRow } from '../../scenario/schema.ts';
import type { Planner } from '../options.ts';
import type { AgainHow } from './again.ts';
import { SAME } from './shortages.ts';
import { sideBySide } from './sideBySide.ts';

/** Bags that, had they come by then, would serve what nothing serves. */
export interface DeliveryInTime {
  readonly bath: string;
  readonly round: number;
  /** The last minute at which they may be ready: when the bag round leaves. */
  readonly by: number;
  /** Bags of fillLitres, rounded up. */
  readonly bags: number;
  /** A bag must not expire before this minute. */
  readonly goodUntil: number;
}

/** What somebody who may prescribe could change, and what a plan with it leaves unmet. The tool decides nothing. */
export type ClinicalWay =
  | { readonly kind: 'deliveries'; readonly deliveries: readonly DeliveryInTime[] }
  /** The highest cap for all with which a plan was found that leaves nothing unmet; null: with none of those looked at. */
  | { readonly kind: 'dose'; readonly cap: number | null; readonly lowest: number }
  | { readonly kind: 'hours'; readonly cap: number | null; readonly lowest: number }
  | { readonly kind: 'substitute'; readonly row: SubstituteRow; readonly unmetLitres: number };

interface ClinicalOptions {
  /** Where plans of a changed scenario are made, so many questions at a time. Default: here, one after the other. */
  readonly elsewhere?: {
    readonly threads: number;
    readonly plan: (changed: Scenario, how: AgainHow) => Promise<Plan>;
  };
  /** Tries for each plan made. Default 60. */
  readonly tries?: number;
  readonly stop?: () => boolean;
}

/** mL/kg/h and h: caps that are looked at come in these steps, down to the lowest (site assumptions). */
const DOSES = { step: 0.5, lowest: 10 };
const HOURS = { step: 0.5, lowest: 12 };
const TRIES = 60;

/** When a delivery for each unmet need must be ready at the latest: needs no search, and holds whatever the plan. */
const deliveriesInTime = (problem: Problem, plan: Pick<Plan, 'needs'>): DeliveryInTime[] =>
  plan.needs.flatMap(({ bath, round, at, unmetLitres }) =>
    unmetLitres > SAME
      ? {
          bath,
          round,
          by: at,
          bags: Math.ceil(unmetLitres / problem.rules.fillLitres - SAME),
          goodUntil: problem.rounds[round]!.to,
        }
      : [],
  );

/**
 * The clinical ways out of a shortage, the surest first: deliveries, then the highest dose and the most hours for all at
 * which nothing is unmet, then each approved substitute. A cap that is told has a plan that leaves nothing unmet, valid like
 * every plan; a higher one may do too, since each is planned quickly.
 * @param replan plans a changed problem, from a plan on; called about twelve times, so give it a quick one
 */
export async function* clinicalWays(
  scenario: Scenario,
  plan: Plan,
  replan: Planner,
  { tries = TRIES, stop, elsewhere }: ClinicalOptions = {},
): AsyncGenerator<ClinicalWay> {
  if (plan.score.unmetLitres <= SAME) return;
  yield { kind: 'deliveries', deliveries: deliveriesInTime(compile(scenario), plan) };
  const how = { tries, seed: 1, previous: plan.activities };
  const planOf = elsewhere?.plan ?? ((changed: Scenario) => replan(compile(changed), how));
  const unmet = async (changed: Scenario) => (await planOf(changed, how)).score.unmetLitres;
  const questions = questionsOf(scenario, unmet, stop);
  for (const answer of sideBySide(questions, elsewhere?.threads ?? 1, (question) => question())) {
    const way = await answer;
    if (way) yield way;
  }
}

/** The questions that take plans, the surest first; null: time was over before it was asked. */
function questionsOf(
  scenario: Scenario,
  unmet: (changed: Scenario) => Promise<number>,
  stop?: () => boolean,
): (() => Promise<ClinicalWay | null>)[] {
  const clears = async (changed: Scenario) => (await unmet(changed)) <= SAME;
  const most = (values: readonly (number | null | undefined)[]) =>
    Math.max(0, ...values.flatMap((value) => value ?? []));
  const doses = scenario.patients.flatMap(({ dose, changes }) => [
    dose,
    ...(changes ?? []).map((one) => one.dose),
  ]);
  const hours = scenario.patients.flatMap(({ hoursPerDay, session, changes }) => [
    session ? session.hours : (hoursPerDay ?? 24),
    ...(changes ?? []).map((one) => one.hoursPerDay),
  ]);
  const dose = (cap: number) => clears(dosesAtMost(scenario, cap));
  const long = (cap: number) => clears(hoursAtMost(scenario, cap));
  return [
    async () => {
      const cap = await highest(capsBelow(most(doses), DOSES), dose, stop);
      return { kind: 'dose', cap, lowest: DOSES.lowest };
    },
    async () => {
      const cap = await highest(capsBelow(most(hours), HOURS), long, stop);
      return { kind: 'hours', cap, lowest: HOURS.lowest };
    },
    ...(scenario.substitutes ?? []).map((row) => async (): Promise<ClinicalWay | null> => {
      if (stop?.()) return null;
      return { kind: 'substitute', row, unmetLitres: await unmet(substituted(scenario, row)) };
    }),
  ];
}

/** Whole steps below what is prescribed at most, the highest first. */
function capsBelow(
  prescribed: number,
  { step, lowest }: { readonly step: number; readonly lowest: number },
): number[] {
  const first = Math.ceil(prescribed / step - 1e-9) - 1;
  const count = Math.max(0, first - Math.ceil(lowest / step) + 1);
  return Array.from({ length: count }, (_, n) => (first - n) * step);
}

/** The first of descending caps that clears, by halving, taking for granted that what clears does so lower too; null: not even the last. */
async function highest(
  caps: readonly number[],
  clears: (cap: number) => Promise<boolean>,
  stop?: () => boolean,
): Promise<number | null> {
  if (caps.length === 0 || stop?.() || !(await clears(caps.at(-1)!))) return null;
  let [no, yes] = [-1, caps.length - 1];
  while (yes - no > 1 && !stop?.()) {
    const middle = Math.floor((no + yes) / 2);
    if (await clears(caps[middle]!)) yes = middle;
    else no = middle;
  }
  return caps[yes]!;
}
