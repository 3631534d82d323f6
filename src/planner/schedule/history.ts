import type { Activity } from '../../plan/plan.ts';

/**
 * Activities of a plan that are history at minute `now`: what has started, the swaps of fills under way, and the tests
 * that what is under way will run on.
 */
export function historyOf(activities: readonly Activity[], now: number): Activity[] {
  const under = new Set(
    activities.flatMap((a) => (a.kind === 'fill' && a.start < now ? [`${a.machine} ${a.end}`] : [])),
  );
  const flowing = Math.max(
    now,
    ...activities.flatMap((a) => (a.start < now && a.kind !== 'swap' && a.kind !== 'test' ? [a.end] : [])),
  );
  return activities.filter(
    (a) =>
      a.start < now ||
      (a.kind === 'swap' && under.has(`${a.machine} ${a.start}`)) ||
      (a.kind === 'test' && a.end < flowing),
  );
}
