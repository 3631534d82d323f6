import type { Clock } from '../calendar/clock.ts';
import type { Latest, LatestLimit } from '../plan/latest.ts';
import { type Activity, placeOf } from '../plan/plan.ts';
import type { ActivityReason } from '../planner/plan.ts';
import { workCount, workText } from '../words/activities.ts';
import { countText, lengthText, listText, numberText } from '../words/numbers.ts';
import { timeText, whenText } from '../words/times.ts';

/** What happens when a limit of time is passed, as the end of a sentence that says until when. */
function limitText(clock: Clock, { kind, at }: LatestLimit, activity: Activity): string {
  const place = placeOf(activity);
  switch (kind) {
    case 'fill window':
      return 'its bags then hold the most they may';
    case 'next on the machine':
      return `the next work on ${place} then begins`;
    case 'availability':
      return `${place} is then unavailable`;
    case 'horizon':
      return 'the plan then ends';
    case 'circuit':
      return 'its circuit is then too old';
    case 'technicians':
      return `too few technicians are there at ${timeText(clock, at)}`;
    case 'water':
      return `the water source gives too little at ${timeText(clock, at)}`;
    case 'test':
      return `no total chlorine test holds at ${timeText(clock, at)}`;
    case 'duty':
      return `a duty is in the way at ${timeText(clock, at)}`;
    case 'slack':
      return 'the duty may begin no later';
    case 'supply':
      return 'a longer fill takes more of a supply than is left';
    case 'round':
      return `its bags would miss the bag round of ${whenText(clock, at)}`;
  }
}

/** Until when an activity can wait, what to do first: a test is told by its end, all else by its begin. */
function latestText(clock: Clock, latest: Latest, activity: Activity): string {
  const why = listText(latest.by.map((limit) => limitText(clock, limit, activity)));
  const [act, minute] = activity.kind === 'test' ? ['End', latest.end] : ['Begin', latest.start];
  const when = whenText(clock, minute);
  return latest.later === 0
    ? `${act} it at ${when}, no later: ${why}.`
    : `${act} it by ${when}, ${lengthText(latest.later)} later than planned at most: ${why}.`;
}

/** Why an activity is where it is, in sentences. */
export function activityReasonTexts(clock: Clock, reason: ActivityReason): string[] {
  const { activity, latest, fillWindow, spareLitres, testEnded } = reason;
  const when = (minute: number) => whenText(clock, minute);
  const sentences = [servesText(clock, reason)];
  if (spareLitres > 0.05)
    sentences.push(`${numberText(spareLitres)} L are left over, for the reserve or to expire.`);
  sentences.push(latestText(clock, latest, activity));
  if (fillWindow)
    sentences.push(
      `Its bags hold enough from ${when(activity.start + fillWindow.shortest)}, and the most they may at ${when(activity.start + fillWindow.longest)}.`,
    );
  if (activity.kind !== 'fill') sentences.push(alongsideText(reason));
  if (testEnded !== null)
    sentences.push(`It begins on the total chlorine test that ended at ${when(testEnded)}.`);
  return sentences;
}

function servesText(clock: Clock, { activity, serves, fills }: ActivityReason): string {
  if (fills.length === 0) return 'No fill depends on it.';
  if (serves.length === 0) return 'Its bags serve no bag round of this plan.';
  const whose =
    activity.kind === 'fill'
      ? 'Its bags'
      : fills.length === 1
        ? 'Bags of its fill'
        : `Bags of ${workCount(fills.length, 'fill')} that depend on it`;
  const list = serves.map(({ bags, bath, at }) => `${numberText(bags)} of ${bath} at ${whenText(clock, at)}`);
  return `${whose} serve: ${list.join('; ')}.`;
}

function alongsideText({ alongside, onShift }: ActivityReason): string {
  const there = `${countText(onShift, 'technician')} on shift as it begins.`;
  return alongside.length > 0
    ? `Meanwhile technicians are also at: ${alongside.map((other) => workText(other, '')).join('; ')}. ${there}`
    : `No other work needs a technician meanwhile. ${there}`;
}
