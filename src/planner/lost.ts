import { type Activity, placeOf } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem.ts';

/**
 * What of a plan cannot have been done, or cannot be ended, as the scenario stands now: begun before minute `now` on a
 * machine that was out of service for part of it (it broke down in the middle of a fill), or on a machine, source or bath
 * that is no longer there. With a fill goes its swap, with a set-up what ran on it up to the next one.
 */
export function lostOf(problem: Problem, activities: readonly Activity[], now: number): Set<Activity> {
  const lost = new Set<Activity>();
  if (now <= 0) return lost;
  const sources = new Set(problem.water.map(({ id }) => id));
  const windows = new Map(problem.machines.map(({ id, windows }) => [id, windows]));
  const baths = new Set(problem.baths);
  const possible = (activity: Activity) =>
    activity.kind === 'test'
      ? sources.has(activity.water)
      : (activity.kind === 'swap' || baths.has(activity.bath)) &&
        (windows.get(activity.machine) ?? []).some(
          ({ from, to }) => activity.start >= from && activity.end <= to,
        );
  const places = new Set(activities.map(placeOf));
  for (const place of places) {
    const own = activities.filter((one) => placeOf(one) === place).sort((a, b) => a.start - b.start);
    let setUpLost = false;
    for (const [index, activity] of own.entries()) {
      // A swap goes or stays with its fill, which comes right before it.
      if (activity.start >= now || activity.kind === 'swap') continue;
      const swap = activity.kind === 'fill' ? own[index + 1] : undefined;
      const done = possible(activity) && (swap?.kind !== 'swap' || possible(swap));
      if (activity.kind === 'circuit') setUpLost = !done;
      else if (activity.kind === 'bath' && !done) setUpLost = true;
      if (done && !(setUpLost && activity.kind !== 'test')) continue;
      lost.add(activity);
      if (swap?.kind === 'swap') lost.add(swap);
    }
  }
  return lost;
}

/** What a reader should know of it, one sentence for each machine that lost fills. */
export function lostRemarks({ clock }: Problem, lost: ReadonlySet<Activity>): string[] {
  const fills = [...lost].flatMap((one) => (one.kind === 'fill' ? one : []));
  const machines = [...new Set(fills.map(({ machine }) => machine))];
  return machines.map((machine) => {
    const [first, ...more] = fills.filter((fill) => fill.machine === machine);
    const began = clock.localOf(first!.start).replace('T', ' ');
    const which = more.length > 0 ? `${more.length + 1} fills, the first of` : 'the fill of';
    return `${machine} is out of service for ${which} ${first!.bath} that began ${began}: taken as lost, no bags of it count. What it used is not deducted; put right what is on hand.`;
  });
}
