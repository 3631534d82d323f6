import { type Facts, nameOf, type OnMachine } from '../facts.ts';
import type { Finding, Violation } from '../verdict.ts';

const timesAt = (activities: readonly OnMachine[], kind: OnMachine['kind'], edge: 'start' | 'end') => {
  const times = new Map<number, number>();
  for (const activity of activities)
    if (activity.kind === kind) times.set(activity[edge], (times.get(activity[edge]) ?? 0) + 1);
  return times;
};

/** Every fill has one swap on its machine, which starts the minute the fill ends. */
export function fillHasSwap(facts: Facts): Finding {
  const violations: Violation[] = [];
  let count = 0;
  for (const activities of facts.onMachine) {
    const swaps = timesAt(activities, 'swap', 'start');
    for (const fill of activities) {
      if (fill.kind !== 'fill') continue;
      count += 1;
      const found = swaps.get(fill.end) ?? 0;
      if (found === 1) continue;
      violations.push({
        rule: 'fill-has-swap',
        message: `The ${nameOf(fill)} ends at ${facts.at(fill.end)} and has ${found === 0 ? 'no swap' : `${found} swaps`} starting then; it needs one.`,
        start: fill.start,
        end: fill.end,
        place: fill.machine,
        amount: Math.abs(found - 1),
        unit: 'swap',
      });
    }
  }
  return { violations, count };
}

/** Every swap starts the minute one fill on its machine ends: it has no other cause. */
export function swapHasFill(facts: Facts): Finding {
  const violations: Violation[] = [];
  let count = 0;
  for (const activities of facts.onMachine) {
    const fills = timesAt(activities, 'fill', 'end');
    for (const swap of activities) {
      if (swap.kind !== 'swap') continue;
      count += 1;
      const found = fills.get(swap.start) ?? 0;
      if (found === 1) continue;
      violations.push({
        rule: 'swap-has-fill',
        message: `The ${nameOf(swap)} at ${facts.at(swap.start)} follows ${found === 0 ? 'no fill' : `${found} fills`} ending then; it needs one.`,
        start: swap.start,
        end: swap.end,
        place: swap.machine,
        amount: Math.abs(found - 1),
        unit: 'fill',
      });
    }
  }
  return { violations, count };
}
