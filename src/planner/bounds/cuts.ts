import type { Problem } from '../../scenario/problem/types.ts';
import type { Kind } from './kinds.ts';
import type { Sink } from './sinks.ts';

/** Shortest distance of two cuts when the second one only sharpens, min. */
const APART = 120;

/** Buckets of all kinds together: in a larger model the solver's time is better spent than on sharper cuts. */
const MOST_BUCKETS = 700;

/** Deliveries of what could have been used up by then, each with the minutes that what it is used for takes at least. */
function awaited({ supplies, rules }: Problem, kinds: readonly Kind[]): [at: number, lead: number][] {
  return supplies.flatMap(({ onHand, deliveries, perCircuit, perFill, perMinute, bath }) => {
    const users = kinds.filter(({ baths }) => bath === null || baths.includes(bath));
    const usedBy = (at: number) =>
      users.reduce((sum, { machines, shortest, cycle }) => {
        const each =
          perCircuit * (at / rules.circuitLife + 1) +
          (perFill + perMinute[machines[0]!]! * shortest) * (at / cycle + 1);
        return sum + machines.length * each;
      }, 0);
    let there = onHand;
    return [...deliveries]
      .sort((a, b) => a.at - b.at)
      .flatMap(({ at, quantity }) => {
        const scarce = there < usedBy(at);
        there += quantity;
        const leads = new Set([
          ...(perCircuit > 0 ? [rules.circuitMinutes] : []),
          ...(perCircuit > 0 && perFill === 0 ? [] : users.map(({ shortest }) => shortest)),
        ]);
        return scarce ? [...leads].sort((a, b) => a - b).map((lead): [number, number] => [at, lead]) : [];
      });
  });
}

/** Cuts where bags fall due, where staff changes while it is short, and where bags would expire, ascending from 0. */
export function cutsOf(problem: Problem, sinks: readonly Sink[], kinds: readonly Kind[]): number[] {
  const { horizon, staff, rules } = problem;
  const cuts = new Set([0]);
  for (const { lastEnd } of sinks) if (lastEnd > 0) cuts.add(Math.min(lastEnd, horizon));
  const last = Math.max(...cuts);
  const sharpen = (at: number, apart = APART) => {
    if (cuts.size * kinds.length >= MOST_BUCKETS) return;
    if (at > 0 && at < last && [...cuts].every((cut) => Math.abs(cut - at) >= apart)) cuts.add(at);
  };
  if (problem.now > 0) sharpen(problem.now, 1);
  // What has ended by then had begun before a supply came.
  for (const [at, lead] of awaited(problem, kinds)) sharpen(at + lead - 1, lead / 2);
  // Where bags do not last from cut to cut, what is filled too early must not count.
  for (const { endAfter } of sinks) sharpen(endAfter);
  // Where few technicians cannot keep up with the machines, their minutes must not be mixed with a fuller shift's.
  const wanted =
    kinds.reduce((sum, { machines, cycle }) => sum + machines.length / cycle, 0) * rules.swapMinutes;
  for (let t = 1; t < last; t++)
    if (staff[t] !== staff[t - 1] && Math.min(staff[t]!, staff[t - 1]!) < 1.5 * wanted) sharpen(t);
  return [...cuts].sort((a, b) => a - b);
}
