import type { Clock } from '../calendar/clock.ts';
import { type Held, wilson } from '../hold/hold.ts';
import { ENOUGH, type Learned } from '../hold/learned.ts';
import { type Judged, type SlackOffer, servedShare } from '../hold/offers.ts';
import type { NeedRow } from '../plan/plan.ts';
import type { Problem, Slack } from '../scenario/problem/types.ts';
import { countText, listText, numberText } from '../words/numbers.ts';
import { roundHead, roundText } from '../words/times.ts';

interface HoldRow {
  readonly round: string;
  /** e.g. '93 % of days' */
  readonly share: string;
  /** e.g. '91 to 94 %': between these the true share lies, 95 % sure. '' where a round goes short as planned. */
  readonly sure: string;
  /** e.g. '19 of 20 days'; '' as long as none was played so. */
  readonly remade: string;
  /** Never bad: it is of a plan that nobody changes, and no forecast. */
  readonly tone: 'good' | 'warn';
}

/** From which share on a round counts as safe (site assumption). */
const SAFE = 0.95;
/** Never 0 or 100 % from a count of days: rounded towards the middle. */
const percent = (share: number): string => `${numberText(Math.min(99.9, Math.max(0.1, 100 * share)))} %`;

const shareText = (full: number, runs: number): string =>
  full === runs ? 'every day played' : full === 0 ? 'no day played' : `${percent(full / runs)} of days`;

/**
 * Each bag round with the share of played days on which it was served in full.
 * @param remade the same of days on which the plan was made anew at each mishap
 * @param short rounds that go short already when all goes as planned
 */
export function holdRows(
  { clock, rounds }: Problem,
  held: Held,
  remade: Held | null = null,
  short: ReadonlySet<number> = new Set(),
): HoldRow[] {
  return held.rounds.map(({ round, full }) => {
    const [low, high] = wilson(full, held.runs);
    const again = remade?.rounds.find((one) => one.round === round);
    return {
      round: roundHead(clock, { round, at: rounds[round]!.at }),
      share: short.has(round) ? 'short as planned' : shareText(full, held.runs),
      sure: short.has(round) ? '' : `${numberText(100 * low)} to ${numberText(100 * high)} %`,
      remade: again && remade ? `${numberText(again.full)} of ${countText(remade.runs, 'day')}` : '',
      tone: low >= SAFE ? 'good' : 'warn',
    };
  });
}

/** Said first of a plan that leaves a need unmet: slack clears nothing of it. @param first round that goes short */
export const clearFirst = (clock: Clock, litres: number, first: Pick<NeedRow, 'round' | 'at'>): string =>
  `Clear what is unmet first. This plan leaves ${numberText(litres)} L unmet, first in ${roundText(clock, first)}.`;

/** What plans with slack are looked for, and what came of it. @param rows worth a choice, of `of` plans of which `tried` are tried */
export function slackTold({
  tried,
  of,
  rows,
  unmet,
}: Record<'tried' | 'of' | 'rows' | 'unmet', number>): string {
  const bound = unmet > 0 ? ' that leave no more unmet' : '';
  if (tried < of) return `Tried ${numberText(tried)} of ${countText(of, 'plan')} with slack${bound}.`;
  const found =
    rows > 0
      ? 'Pick one, or keep this plan.'
      : unmet > 0
        ? 'None holds better without leaving more unmet. Keep this plan.'
        : 'None holds better than this one.';
  return `${countText(of, 'plan')} with slack tried. ${found}`;
}

/**
 * What is to be done first, in one sentence.
 * @param tasks that must not begin late
 * @param unmet L that the plan leaves unmet when nothing is late
 */
export function doFirst(tasks: number, late: string, unmet: number): string {
  const first = `Do first: begin ${tasks === 1 ? 'this task' : `these ${countText(tasks, 'task')}`} on time.`;
  const each = `${late} late, ${tasks === 1 ? 'it leaves' : 'each one alone leaves'}`;
  if (unmet > 0)
    return tasks === 0
      ? `No single task leaves more unmet when it alone begins ${late} late.`
      : `${first} ${each} more unmet.`;
  return tasks === 0
    ? `No single task leaves a bag round short when it alone begins ${late} late. Small delays that add up still may: look at plans with slack below.`
    : `${first} ${each} a bag round short.`;
}

interface SlackRow {
  /** e.g. '+1 h 10 min (+2 %)' */
  readonly work: string;
  /** Of all bag rounds played, e.g. '74 % of bag rounds'. */
  readonly rounds: string;
  /** e.g. '0 L', and where it keeps less in reserve, how much. */
  readonly unmet: string;
  /** What slack it keeps. */
  readonly slack: string;
}

/** Plans with slack beside the plan on screen: what each costs, and how it held. */
export function slackRows(plan: Judged, offers: readonly SlackOffer[]): SlackRow[] {
  return offers.map(({ score, held, slack }) => ({
    work: moreText(score.handsOnMinutes - plan.score.handsOnMinutes, plan.score.handsOnMinutes),
    rounds: `${percent(servedShare(held))} of bag rounds`,
    unmet: `${numberText(score.unmetLitres)} L${lessReserve(score.reserveShort - plan.score.reserveShort)}`,
    slack: slackText(slack),
  }));
}

/** A reserve that a plan gives up is told beside what it leaves unmet. */
const lessReserve = (bags: number): string =>
  bags > 0.05 ? `; ${countText(bags, 'bag')} less in reserve` : '';

const moreText = (more: number, of: number): string => {
  const sign = more > 0 ? '+' : more < 0 ? '-' : '';
  const share = of > 0 ? ` (${sign}${numberText(Math.abs((100 * more) / of))} %)` : '';
  return `${sign}${numberText(Math.abs(more), 0)} min${share}`;
};

/** e.g. 'Bags ready 30 min sooner, tests 30 min sooner, and 8 bags more in stock of each bath in use' */
export function slackText(slack: Slack): string {
  const { roundMinutes, swapMinutes, testMinutes, circuitMinutes, restMinutes, bags } = slack;
  const parts = [
    roundMinutes > 0 && `bags ready ${numberText(roundMinutes)} min sooner`,
    swapMinutes > 0 && `swaps up to ${numberText(swapMinutes)} min before the latest minute`,
    testMinutes > 0 && `tests ${numberText(testMinutes)} min sooner`,
    circuitMinutes > 0 && `circuits ${numberText(circuitMinutes)} min shorter`,
    restMinutes > 0 && `${numberText(restMinutes)} min of rest after each swap`,
    bags > 0 && `${countText(bags, 'bag')} more in stock of each bath in use`,
  ].filter((part) => part !== false);
  const text = listText(parts);
  return text === '' ? 'None' : `${text[0]!.toUpperCase()}${text.slice(1)}`;
}

/** What a record shows, each line with its number of cases; too few of them are said to be. */
export function learnedText({ off, tests, down }: Learned): string[] {
  const enough = (cases: number, shows: string): string =>
    cases >= ENOUGH ? shows : `Too few to count: ${numberText(ENOUGH)} are needed, so what is typed stays.`;
  return [
    `${countText(off.cases, 'fill')} with bags off. ${enough(
      off.cases,
      `Bags came off ${numberText(off.minutes)} min after the computed fill time on average.`,
    )}`,
    `${countText(tests.cases, 'total chlorine test')}. ${enough(tests.cases, `${numberText(tests.failed)} failed.`)}`,
    `${countText(down.cases, 'time')} that a machine was down. ${enough(
      down.cases,
      `${numberText(down.minutes)} min each on average.`,
    )}`,
  ];
}
