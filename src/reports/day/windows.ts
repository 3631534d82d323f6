import { type SwapWindow, swapWindowsIn } from '../../plan/latest.ts';
import type { Activity } from '../../plan/plan.ts';
import type { State } from '../../record/state.ts';
import type { Problem } from '../../scenario/problem/types.ts';

/**
 * Between which minutes the bags of the fill under way on a machine come off: from its real begin on, and no later than
 * the tightest of all limits (`swapWindowsIn`). Of a fill that the plan does not count on, what its bags may hold.
 * @param problem what is planned from now on
 * @param activities the plan from now on
 * @returns null where no fill is under way
 */
export function windowsUnderWay(
  problem: Problem,
  { machines }: State,
  activities: readonly Activity[],
): (machine: string) => SwapWindow | null {
  const begun = new Set(
    machines.flatMap(({ id, underWay }) => (underWay?.kind === 'fill' ? `${id}\n${underWay.start}` : [])),
  );
  const windows = swapWindowsIn(
    problem,
    activities,
    (one) => one.kind === 'fill' && begun.has(`${one.machine}\n${one.start}`),
  );
  return (id) => {
    const machine = machines.find((one) => one.id === id);
    const fill = machine?.underWay;
    if (fill?.kind !== 'fill') return null;
    const index = activities.findIndex(
      (one) => one.kind === 'fill' && one.machine === id && one.start === fill.start,
    );
    const { earliestEnd: from, latestEnd } = fill;
    const circuitEnd =
      (machine?.circuitBefore?.since ?? Number.POSITIVE_INFINITY) + problem.rules.circuitLife;
    const latest = circuitEnd < from ? latestEnd : Math.min(latestEnd, circuitEnd);
    return { from, to: Math.min(latest, windows(index)?.to ?? latest) };
  };
}
