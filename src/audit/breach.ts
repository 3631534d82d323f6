import { type Activity, placeOf } from '../plan/plan.ts';
import { type Facts, nameOf } from './facts.ts';
import type { Wrong } from './verdict.ts';

const ONE = { amount: 1, unit: 'activity' };

/** What is wrong with an activity, told by when it starts: 'The fill of 2K on M1 at 2031-02-03 07:00 finds ...'. */
export const breachAt = (facts: Facts, activity: Activity, wrong: string, { amount, unit } = ONE): Wrong => ({
  message: `The ${nameOf(activity)} at ${facts.at(activity.start)} ${wrong}.`,
  start: activity.start,
  end: activity.end,
  place: placeOf(activity) ?? '',
  amount,
  unit,
});

/** The same, told by its whole time. @param minutes by how much */
export const breachOver = (facts: Facts, activity: Activity, wrong: string, minutes: number): Wrong => ({
  message: `The ${nameOf(activity)}, ${facts.at(activity.start)} to ${facts.at(activity.end)}, ${wrong}.`,
  start: activity.start,
  end: activity.end,
  place: placeOf(activity) ?? '',
  amount: minutes,
  unit: 'min',
});
