import type { Activity } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { Floor } from '../schedule/floor.ts';
import { activitiesOf, assume } from '../schedule/listing.ts';
import type { Occupancy } from '../schedule/occupancy.ts';
import { FILL, SWAP, TEST, type Work } from '../schedule/work.ts';

type Fill = Activity & { readonly kind: 'fill' };

/**
 * What is under way with the ends that it is to have: a fill inside its real window, as soon as its bags can be taken off,
 * its circuit, its machine's hours, water and tests allowing; all else as given. With the swaps and the tests that it takes.
 * The fills whose window closes first choose first; one that finds no such minute ends with its window. A source that may not
 * run (its last test failed, or none is noted) is then tested as soon as somebody is free: until then nothing on it begins.
 * @param underWay begun and not ended at the problem's `now`
 * @param previous a plan that may have these fills, with the ends that were meant: the nearest minute to those is taken
 */
export function endedOf(
  problem: Problem,
  underWay: readonly Activity[],
  previous: readonly Activity[],
): Activity[] {
  const isFill = (one: Activity): one is Fill => one.kind === 'fill';
  const floor = new Floor(problem);
  const { held } = floor;
  // Duties give way to what cannot wait: they are placed once this is booked.
  held.undoTo(0);
  held.historyCount = 0;
  held.now = problem.now;
  const others = underWay.filter((one) => !isFill(one));
  assume(held, others);
  const machineOf = new Map(problem.machines.map(({ id }, m) => [id, m]));
  for (const one of others)
    if ('bath' in one) held.ensureTests(waterOf(problem, machineOf.get(one.machine)!), problem.now, one.end);
  const fills = underWay.filter(isFill).flatMap((fill) => {
    const m = machineOf.get(fill.machine);
    return m === undefined ? [] : { fill, m, latest: fill.start + problem.machines[m]!.longest };
  });
  for (const { fill, m, latest } of fills.sort((a, b) => a.latest - b.latest)) {
    const bath = problem.baths.indexOf(fill.bath);
    const first = Math.max(problem.now, fill.start + problem.machines[m]!.shortest);
    const ends = Array.from({ length: Math.max(0, latest - first + 1) }, (_, n) => first + n);
    const meant = previous.find(
      (one) => one.kind === 'fill' && one.machine === fill.machine && one.start === fill.start,
    );
    if (meant) ends.sort((a, b) => Math.abs(a - meant.end) - Math.abs(b - meant.end) || a - b);
    const mayEnd = (end: number) => ended(held, m, { start: fill.start, end }, floor.lifeEnd(m)) && book(end);
    const book = (end: number): boolean => {
      const saved = held.count;
      const { swapMinutes } = problem.rules;
      held.commit(workOn(SWAP, m, bath), end, end + swapMinutes);
      held.commit(workOn(FILL, m, bath), fill.start, end);
      if (held.ensureTests(waterOf(problem, m), problem.now, end) < 0) return true;
      held.undoTo(saved);
      return false;
    };
    if (ends.some(mayEnd)) continue;
    // Nobody is there: the bags are full all the same.
    const last = Math.max(problem.now, Math.min(latest, Math.max(fill.end, first)));
    held.commit(workOn(SWAP, m, bath), last, last + problem.rules.swapMinutes);
    held.commit(workOn(FILL, m, bath), fill.start, last);
  }
  testFirst(held, new Set(others.flatMap((one) => (one.kind === 'test' ? one.water : []))));
  return activitiesOf(held);
}

/** @param begun sources of which a test is under way */
function testFirst(held: Occupancy, begun: ReadonlySet<string>): void {
  const { machines, water, now, horizon } = held.problem;
  if (now === 0) return;
  const used = new Set(machines.map((machine) => machine.water));
  for (const [source, { id, lastTest, testMinutes }] of water.entries()) {
    if (lastTest !== null || !used.has(source) || begun.has(id)) continue;
    const start = held.testFrom(source, now);
    if (start + testMinutes <= horizon) held.commit(workOn(TEST, source, -1), start, start + testMinutes);
  }
}

const waterOf = ({ machines }: Problem, m: number): number => machines[m]!.water;
const workOn = (kind: number, place: number, bath: number): Work => ({ kind, place, bath, segment: -1 });

/** Whether the bags of a fill under way can be taken off at a minute, apart from the tests it takes until then. */
function ended(
  held: Occupancy,
  m: number,
  { start, end }: { readonly start: number; readonly end: number },
  lifeEnd: number,
): boolean {
  const { rules, horizon, now } = held.problem;
  const done = end + rules.swapMinutes;
  if (done > horizon || done > lifeEnd) return false;
  if (held.windows.from(m, end, rules.swapMinutes) !== end) return false;
  if (held.windows.from(m, start, end - start) !== start) return false;
  if (held.hands.from(SWAP, m, end, rules.swapMinutes) !== end) return false;
  return held.flows.from(m, Math.min(now, end), end) === Math.min(now, end);
}
