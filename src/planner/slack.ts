import { demandOf } from '../demand/demand.ts';
import { asPlan } from '../plan/asPlan.ts';
import { type Activity, NOTHING_PROVEN, type Plan } from '../plan/plan.ts';
import type { Problem, Slack } from '../scenario/problem/types.ts';
import type { Made, PlanOptions } from './options.ts';
import { DutyFault } from './schedule/placeDuties.ts';

/** Said of a plan that was made so. */
const WITH_SLACK = 'This plan keeps slack for late work. See Plan and rules for how much.';
const WITHOUT = 'This plan keeps no slack for late work: with slack more need would stay unmet.';
const NO_PLACE = 'This plan keeps no slack for late work: with slack a duty finds no place.';
/** Less than so many L unmet is no difference. */
const LEAST_LITRES = 1e-6;

/**
 * The problem with its slack as stricter rules (M35): what is valid for it is valid for the problem itself once its swaps
 * have their real length (`asMade`).
 */
export function strictOf(problem: Problem, slack: Slack): Problem {
  const { machines, water, rules, minStock } = problem;
  const { bags: needed } = demandOf(problem);
  const least = (limit: number, minutes: number) => Math.max(Math.ceil(limit / 2), limit - minutes);
  return {
    ...problem,
    slack: null,
    machines: machines.map((machine) => ({
      ...machine,
      longest: Math.max(Math.min(machine.shortest, machine.longest), machine.longest - slack.swapMinutes),
    })),
    water: water.map((source) => ({ ...source, testEvery: least(source.testEvery, slack.testMinutes) })),
    // Of a bath that nobody needs no bag is filled for it.
    minStock: minStock.map(
      (bags, bath) => bags + (needed[bath]!.some((count) => count > 0) ? slack.bags : 0),
    ),
    rules: {
      ...rules,
      releaseMinutes: rules.releaseMinutes + slack.roundMinutes,
      swapMinutes: rules.swapMinutes + restOf(problem, slack),
      circuitLife: least(rules.circuitLife, slack.circuitMinutes),
    },
  };
}

/**
 * Rest after a swap, min. What follows a rest at once has to be walked to, by people who must have rested: so the rest is
 * long enough for the walk, and there is none where more people would walk than rested.
 */
function restOf({ rules, duties }: Problem, { restMinutes }: Slack): number {
  const { hands, walkMinutes, fillStartMinutes } = rules;
  if (restMinutes <= 0 || walkMinutes === 0) return Math.max(0, restMinutes);
  const next = [hands.circuit, hands.bath, fillStartMinutes > 0 ? 1 : 0];
  for (const { place, technicians } of duties) if (place?.kind === 'machine') next.push(technicians);
  return hands.swap < Math.max(...next) ? 0 : Math.max(restMinutes, walkMinutes);
}

/** A plan of a strict problem as people do it: a swap takes as long as it takes. */
const asMade = ({ rules }: Problem, activities: readonly Activity[]): Activity[] =>
  activities.map((one) => (one.kind === 'swap' ? { ...one, end: one.start + rules.swapMinutes } : one));

/** The other way round, of what is still to begin. */
const asStrict = (strict: Problem, activities: readonly Activity[], now: number): Activity[] =>
  activities.map((one) =>
    one.kind === 'swap' && one.start >= now ? { ...one, end: one.start + strict.rules.swapMinutes } : one,
  );

interface Slackened extends PlanOptions {
  /** The problem by the rules as typed, which hold what is under way and what begins soon. */
  readonly real?: Problem;
}

/**
 * A planner that keeps the slack which the problem asks for. Need comes first: where some stays unmet, it is planned without
 * slack too, and that plan counts where it leaves less.
 */
export const withSlack =
  <Options extends Slackened>(planner: (problem: Problem, options?: Options) => Promise<Made>) =>
  async (problem: Problem, options?: Options): Promise<Made> => {
    const { slack } = problem;
    if (!slack) return planner(problem, options);
    const plain: Problem = { ...problem, slack: null };
    const strict = strictOf(problem, slack);
    const worth = (
      activities: readonly Activity[],
      { remarks, seconds }: Pick<Plan, 'remarks' | 'seconds'> = { remarks: [], seconds: 0 },
    ) => asPlan(plain, asMade(plain, activities), { bound: NOTHING_PROVEN, remarks, seconds });
    const { from, onProgress, now = problem.now } = options ?? {};
    const stricter = {
      ...options,
      real: plain,
      ...(from && { from: asStrict(strict, from, now) }),
      ...(onProgress && {
        onProgress: (progress: Parameters<typeof onProgress>[0]) => {
          const { activities, score } = worth(progress.activities);
          onProgress({ ...progress, activities, score });
        },
      }),
    } as Options;
    const made = await planner(strict, stricter).catch((error: unknown) => {
      if (error instanceof DutyFault) return null;
      throw error;
    });
    if (!made) return remarked(await planner(plain, options), NO_PLACE);
    const kept: Made = { ...worth(made.activities, made), ...(made.lines && { lines: made.lines }) };
    if (kept.score.unmetLitres <= LEAST_LITRES) return remarked(kept, WITH_SLACK);
    const left =
      options?.seconds === undefined ? {} : { seconds: Math.max(0.1, options.seconds - made.seconds) };
    const bare = await planner(plain, { ...options, ...left } as Options);
    const saves = bare.score.unmetLitres < kept.score.unmetLitres - LEAST_LITRES;
    return saves ? remarked(bare, WITHOUT) : remarked(kept, WITH_SLACK);
  };

/** Whether a plan that was asked to keep slack does. */
export const keepsSlack = ({ remarks }: Pick<Plan, 'remarks'>): boolean => remarks.includes(WITH_SLACK);

const remarked = (plan: Made, remark: string): Made => ({ ...plan, remarks: [...plan.remarks, remark] });
