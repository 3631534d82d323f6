import type { Activity, Score } from '../plan/plan.ts';
import type { Problem, Slack } from '../scenario/problem/types.ts';
import type { Held } from './hold.ts';

/** A plan with slack, as it came out and as it held when it was played. */
export interface SlackOffer {
  readonly slack: Slack;
  readonly activities: readonly Activity[];
  readonly score: Score;
  readonly held: Held;
}
/** A plan by what it costs and how it held. */
export type Judged = Pick<SlackOffer, 'score' | 'held'>;

/** Share of the bag rounds, over all days played, that were served in full, 0 to 1; 1 where there are none. */
export const servedShare = ({ rounds, runs }: Held): number =>
  rounds.length === 0 ? 1 : rounds.reduce((sum, { full }) => sum + full, 0) / (runs * rounds.length);

/**
 * The slack that is tried, in the order in which it is: what helps most for its work first. On the invented surge week late
 * swaps cost bags in fill windows of 4 to 8 min and tests that had run out, more than all else, so all steps leave room
 * there; a rest after each swap costs most. Where need is unmet every minute of a machine is wanted: only the least is tried.
 * @param unmet L that the plan itself leaves unmet
 */
export function slackLadder({ machines }: Pick<Problem, 'machines'>, unmet = 0): Slack[] {
  const fill = Math.max(0, ...machines.map(({ usable }) => usable));
  const step = (minutes: number, swapMinutes: number, more: Partial<Slack> = {}): Slack => ({
    roundMinutes: minutes,
    swapMinutes,
    testMinutes: minutes,
    circuitMinutes: minutes,
    restMinutes: 0,
    bags: 0,
    ...more,
  });
  if (unmet > LEAST_LITRES)
    return [
      step(0, 5),
      step(10, 5, { testMinutes: 0, circuitMinutes: 0 }),
      step(10, 5, { circuitMinutes: 0 }),
      step(10, 0, { circuitMinutes: 0 }),
    ];
  return [
    step(30, 5),
    step(15, 5, { circuitMinutes: 0 }),
    step(30, 5, { bags: fill }),
    step(20, 5, { restMinutes: 3 }),
    step(45, 5),
    step(30, 5, { bags: 2 * fill }),
    step(60, 8),
    step(30, 5, { restMinutes: 5, bags: fill }),
  ];
}

/** Less than so much of a share, or of a liter, is no difference. */
const LEAST_SHARE = 0.005;
const LEAST_LITRES = 1e-6;

/**
 * The offers worth a person's choice, cheapest first: each holds better than the plan itself, none leaves more unmet or
 * leaves it unmet sooner, and none costs as much as another that holds at least as well.
 */
export function worthOffering<Offer extends Judged>(plan: Judged, offers: readonly Offer[]): Offer[] {
  const minutes = ({ score }: Judged) => score.handsOnMinutes;
  const sorted = offers
    .filter(({ score: { unmetLitres, unmetLitreHours } }) => {
      const noMore = unmetLitres <= plan.score.unmetLitres + LEAST_LITRES;
      return noMore && unmetLitreHours <= plan.score.unmetLitreHours + LEAST_LITRES;
    })
    .sort((a, b) => minutes(a) - minutes(b) || servedShare(b.held) - servedShare(a.held));
  let best = servedShare(plan.held) + LEAST_SHARE;
  return sorted.filter(({ held }) => {
    if (servedShare(held) < best) return false;
    best = servedShare(held) + LEAST_SHARE;
    return true;
  });
}
