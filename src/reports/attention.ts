import { type Activity, bathsOf } from '../plan/plan.ts';
import type { State } from '../record/state.ts';
import type { Problem } from '../scenario/problem/types.ts';
import { workOrder } from '../words/activities.ts';
import { countText, lengthText, missingText } from '../words/numbers.ts';
import { timeText, whenText } from '../words/times.ts';
import { isAhead } from './day/places.ts';

/** What one reader has to do or to know first. */
export interface Attention {
  readonly tone: 'bad' | 'warn' | 'now' | 'quiet';
  readonly text: string;
}

/**
 * The hands-on work that comes next at a machine or water source, from `now` on; null: none is left.
 * @param state what was done by the record: what has begun, in this very minute too, is not next; null: nothing is noted
 */
export function nextWork(
  { clock }: Pick<Problem, 'clock'>,
  activities: readonly Activity[],
  { now, state = null }: { readonly now: number; readonly state?: State | null },
): Attention | null {
  const baths = bathsOf(activities);
  const ahead = activities
    .map((activity, index) => ({ activity, bath: baths[index]! }))
    .filter(({ activity }) => activity.start >= now && (!state || isAhead(state, activity)))
    .sort((a, b) => a.activity.start - b.activity.start);
  const [first] = ahead;
  if (!first) return null;
  const { activity, bath } = first;
  const order = workOrder(activity, bath);
  const time = timeText(clock, activity.start);
  const wait = activity.start - now;
  return {
    tone: 'now',
    text: `${time} ${order}${wait > 0 ? ` (in ${lengthText(wait)})` : ' (now)'}`,
  };
}

type Asked = Pick<State, 'unnotedRounds' | 'openingAssumed'>;
/** Numbers of the bag rounds of which somebody must say whether they were carried. */
export const roundsToAsk = ({ unnotedRounds, openingAssumed }: Asked): readonly number[] =>
  openingAssumed ? [0] : unnotedRounds;

/** What is asked of them: all that is planned rests on it. Null: nothing. */
export function roundsAttention(
  { clock, rounds }: Pick<Problem, 'clock' | 'rounds'>,
  state: Asked,
): Attention | null {
  const [round, ...more] = roundsToAsk(state);
  if (round === undefined) return null;
  const others = more.length > 0 ? ` ${countText(more.length, 'more bag round')} to ask about.` : '';
  return {
    tone: 'warn',
    text: `Were the bags of ${timeText(clock, rounds[round]!.at)} carried? Note it, or say no.${others}`,
  };
}

/**
 * Why there is no plan, or none that follows from what was changed: what and when, and what is in the way.
 * @param failure as the planner says it; its times are ISO
 * @param before a plan from before is on screen
 */
export function failureAttention(
  { clock }: Pick<Problem, 'clock'>,
  failure: string,
  before: boolean,
): Attention {
  const [why = ''] = failure.split(/\.? Expected: /);
  const said = why.replace(/(\d{4}-\d{2}-\d{2}) at (\d{2}:\d{2})/g, (_, date: string, time: string) =>
    whenText(clock, clock.minuteOf(`${date}T${time}`)),
  );
  return { tone: 'bad', text: `No ${before ? 'new ' : ''}plan: ${said}` };
}

/** What stands in the sheets that keeps from planning, or that somebody should look at. */
export function faultsAttention(faults: readonly { readonly level: string }[]): Attention | null {
  const count = (level: string) => faults.filter((fault) => fault.level === level).length;
  const errors = count('error');
  if (errors > 0) return { tone: 'bad', text: `Mend ${countText(errors, 'error')} in the sheets` };
  const warnings = count('warning');
  return warnings > 0
    ? { tone: 'warn', text: `Look at ${countText(warnings, 'warning')} in the sheets` }
    : null;
}

/** What a plan leaves unmet, and where to look for what can be done; null: nothing. */
export function unmetAttention({ rules }: Pick<Problem, 'rules'>, unmetLitres: number): Attention | null {
  if (unmetLitres <= 0) return null;
  return { tone: 'bad', text: `${missingText(unmetLitres, rules.fillLitres)} unmet: look at Ways out` };
}

/** The supply that runs out first, or null. */
export function supplyAttention(
  problem: Problem,
  supplies: readonly {
    readonly item: string;
    readonly runsOut: number | null;
    readonly firstShort: number | null;
  }[],
): Attention | null {
  const [first] = supplies
    .flatMap(({ item, runsOut, firstShort }) => {
      const at = firstShort ?? runsOut;
      return at === null ? [] : [{ item, at }];
    })
    .sort((a, b) => a.at - b.at);
  return first
    ? { tone: 'warn', text: `Get ${first.item} before ${whenText(problem.clock, first.at)}` }
    : null;
}
