import type { Activity } from '../plan/plan.ts';
import type { State } from './state.ts';

/** What should have begun longer ago is taken for given up, min (site assumption). */
const GIVEN_UP = 120;

type Run = Activity & { readonly kind: 'circuit' | 'bath' | 'fill' };
type Begun = Pick<Run, 'kind' | 'machine' | 'bath' | 'start'>;
const isRun = (one: Activity): one is Run =>
  one.kind === 'circuit' || one.kind === 'bath' || one.kind === 'fill';

/**
 * Of a plan, the set-ups and fills that should have begun by now and have not: each machine's last ones before `now`, behind
 * the last one of the plan that the record shows as begun. A machine does them in their order, so what lies before was done
 * or passed over.
 * @param plan made from the scenario's start, or from an earlier minute of the same record
 * @returns in order of time
 */
export function overdueIn(plan: readonly Activity[], state: State): Activity[] {
  const { machines, now } = state;
  const overdue = machines.flatMap(({ id }) => {
    const due = plan.filter((one) => isRun(one) && one.machine === id && one.start < now) as Run[];
    due.sort((a, b) => a.start - b.start);
    const from = due[0]?.start ?? now;
    let next = 0;
    for (const one of begunOn(id, state)) {
      if (one.start < from) continue;
      const found = due.findIndex(({ kind, bath }, k) => k >= next && kind === one.kind && bath === one.bath);
      if (found >= 0) next = found + 1;
    }
    return due.slice(next).filter(({ start }) => start >= now - GIVEN_UP);
  });
  return overdue.sort((a, b) => a.start - b.start);
}

/**
 * Tests of a plan that are under way: begun by their plan before now and not to end by now, with no test of their source
 * noted since their begin. Nobody notes that a test begins. They count as what is under way, never as done: once their end
 * is over without a note, they were not made.
 * @param plan made from the scenario's start, or from an earlier minute of the same record
 */
export const testsUnderWay = (plan: readonly Activity[], { now, tests, water: sources }: State): Activity[] =>
  plan.filter(
    (one) =>
      one.kind === 'test' &&
      one.start < now &&
      one.end > now &&
      sources.some(({ id }) => id === one.water) &&
      !tests.some(({ water, at }) => water === one.water && at > one.start),
  );

/** What the record shows as begun on a machine, in order of time. */
function begunOn(machine: string, { machines, lots, setUps }: State): Begun[] {
  const own = machines.find(({ id }) => id === machine)!;
  const begun = setUps
    .filter((one) => one.machine === machine)
    .map(({ entry, circuit, bath, began }): Begun => {
      const kind = circuit === entry ? 'circuit' : 'bath';
      return { kind, machine, bath, start: began };
    });
  for (const { fill, bath } of lots)
    if (fill?.machine === machine && bath !== null)
      begun.push({ kind: 'fill', machine, bath, start: fill.start });
  const { underWay } = own;
  if (underWay?.bath != null)
    begun.push({ kind: underWay.kind, machine, bath: underWay.bath, start: underWay.start });
  return begun.sort((a, b) => a.start - b.start);
}
