import { type Activity, inOrder } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';

type Fill = Activity & { readonly kind: 'fill' };
type SetUp = Activity & { readonly kind: 'circuit' | 'bath' };

interface Ended {
  /** What goes on, with the swaps and the tests that it takes until it ends, in order. */
  readonly activities: readonly Activity[];
  /** Machines whose work cannot end as it should: nobody is there inside the window, or the water's test runs out before. */
  readonly without: readonly string[];
}

/**
 * What is under way, each fill with an end inside its real window at which somebody takes its bags off, with the swaps and
 * the tests that it takes until then. The fills whose window closes first choose first.
 * @param underWay begun and not ended
 */
export function withEnds(problem: Problem, underWay: readonly Activity[]): Ended {
  const { rules, now, horizon, machines } = problem;
  const taken = new Int16Array(horizon);
  const take = (from: number, to: number, hands: number) => {
    for (let t = Math.max(0, from); t < Math.min(horizon, to); t++) taken[t]! += hands;
  };
  const free = (from: number, to: number, hands: number): boolean => {
    if (to > horizon) return false;
    for (let t = from; t < to; t++) if (problem.staff[t]! < taken[t]! + hands) return false;
    return true;
  };
  const made: Activity[] = [];
  const without: string[] = [];
  const fills = underWay.filter((one): one is Fill => one.kind === 'fill');
  const setUps = underWay.filter((one): one is SetUp => one.kind === 'circuit' || one.kind === 'bath');
  for (const { kind, end } of setUps) take(now, end, rules.hands[kind]);
  const machineOf = (id: string) => machines.find((one) => one.id === id)!;
  const latest = ({ machine, start }: Fill) => start + machineOf(machine).longest;
  const tests = problem.water.map(({ lastTest }) => (lastTest === null ? [] : [lastTest]));
  const flowing = (machine: string, until: number): Activity[] | null => {
    const source = problem.water[machineOf(machine).water]!;
    const ends = tests[machineOf(machine).water]!;
    const serves = Math.max(...ends) + source.testEvery;
    if (until - 1 <= serves) return [];
    for (let start = serves + 1 - source.testMinutes; start >= now; start--)
      if (free(start, start + source.testMinutes, rules.hands.test))
        return [{ kind: 'test', water: source.id, start, end: start + source.testMinutes }];
    return null;
  };
  const enter = (activities: readonly Activity[]) => {
    for (const one of activities) {
      made.push(one);
      if (one.kind === 'swap' || one.kind === 'test') take(one.start, one.end, rules.hands[one.kind]);
      if (one.kind === 'test') tests[problem.water.findIndex(({ id }) => id === one.water)]!.push(one.end);
    }
  };
  for (const one of underWay) {
    if (one.kind !== 'test') continue;
    made.push(one);
    take(now, one.end, rules.hands.test);
    const w = problem.water.findIndex(({ id }) => id === one.water);
    // Where the last test runs out before, what runs meanwhile runs untested.
    if (tests[w]?.some((end) => end + problem.water[w]!.testEvery >= one.end - 1)) tests[w]!.push(one.end);
  }
  for (const one of setUps) {
    const tested = flowing(one.machine, one.end);
    if (tested) enter([one, ...tested]);
    else without.push(one.machine);
  }
  for (const fill of fills.sort((a, b) => latest(a) - latest(b))) {
    const ended = (end: number): Activity[] => [
      { ...fill, end },
      { kind: 'swap', machine: fill.machine, start: end, end: end + rules.swapMinutes },
    ];
    let way: Activity[] | null = null;
    for (let end = fill.end; end <= latest(fill) && !way; end++) {
      const tested = flowing(fill.machine, end);
      if (!tested) continue;
      if (free(end, end + rules.swapMinutes, rules.hands.swap)) way = [...tested, ...ended(end)];
    }
    if (way) enter(way);
    else without.push(fill.machine);
  }
  return { activities: inOrder(made), without };
}
