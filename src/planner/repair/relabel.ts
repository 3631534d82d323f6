import { movedBetween, movedCount, signOf } from '../../plan/moved.ts';
import type { Activity } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';

type Work = Exclude<Activity, { kind: 'test' | 'duty' }>;
/** What one machine does without a break in between: a set-up, or a fill with its swap. */
type Block = readonly Work[];

const isWork = (one: Activity): one is Work => one.kind !== 'test' && one.kind !== 'duty';
const startOf = (block: Block): number => block[0]!.start;
const endOf = (block: Block): number => block.at(-1)!.end;

/** The blocks of one machine in order of time. */
function blocksOf(activities: readonly Activity[], machine: string): Block[] {
  const mine = activities
    .filter((activity): activity is Work => isWork(activity) && activity.machine === machine)
    .sort((a, b) => a.start - b.start);
  const blocks: Work[][] = [];
  for (const activity of mine) {
    const last = blocks.at(-1)?.at(-1);
    if (activity.kind === 'swap' && last?.kind === 'fill' && last.end === activity.start)
      blocks.at(-1)!.push(activity);
    else blocks.push([activity]);
  }
  return blocks;
}

/** Machines that may stand for each other: same flow, positions, baths, water and windows, and no duty at either. */
function groupsOf({ machines, duties, rules }: Problem): number[][] {
  // Who walks where is told by what a machine did just before.
  if (rules.walkMinutes > 0) return [];
  const dutied = new Set(duties.flatMap(({ place }) => (place?.kind === 'machine' ? place.index : [])));
  const groups = new Map<string, number[]>();
  machines.forEach(({ flow, positions, baths, water, windows }, index) => {
    if (dutied.has(index)) return;
    const key = JSON.stringify([flow, positions, [...baths].sort((a, b) => a - b), water, windows]);
    groups.set(key, [...(groups.get(key) ?? []), index]);
  });
  return [...groups.values()].filter(({ length }) => length > 1);
}

/**
 * Minutes at which two machines of a kind could exchange all that follows: both rest, and either both go on with a new
 * circuit (or nothing), or neither has done anything yet and both hold the same.
 */
function cutsOf(a: readonly Block[], b: readonly Block[], alike: boolean, now: number): number[] {
  const times = new Set([now, ...a.map(endOf), ...b.map(endOf)].filter((t) => t >= now));
  const open = (blocks: readonly Block[], t: number) => {
    const next = blocks.findIndex((block) => startOf(block) >= t);
    const last = blocks[(next < 0 ? blocks.length : next) - 1];
    const rests = !last || endOf(last) <= t;
    return { rests, renews: next < 0 || blocks[next]![0]!.kind === 'circuit', untouched: !last };
  };
  return [...times]
    .filter((t) => {
      const [x, y] = [open(a, t), open(b, t)];
      return x.rests && y.rests && ((x.renews && y.renews) || (alike && x.untouched && y.untouched));
    })
    .sort((x, y) => x - y);
}

/**
 * The same plan with machines of a kind in other places, so that as much as can be found stands as it stood before.
 * Machines exchange what they do between two minutes at which both rest; nothing that starts before `now` is touched.
 * Valid, and worth the same, whenever `made` is. Never more moves than in `made`.
 */
export function relabelled(
  problem: Problem,
  previous: readonly Activity[],
  made: readonly Activity[],
  now = 0,
): Activity[] {
  const { machines } = problem;
  const known = new Set(previous.flatMap((activity) => (isWork(activity) ? signOf(activity) : [])));
  const lanes = machines.map(({ id }) => blocksOf(made, id));
  /** How much of these blocks would stand as before on a machine. */
  const kept = (blocks: readonly Block[], machine: number) =>
    blocks.flat().filter((activity) => known.has(signOf({ ...activity, machine: machines[machine]!.id })))
      .length;
  const exchange = (i: number, j: number): boolean => {
    const [a, b] = [lanes[i]!, lanes[j]!];
    const alike = JSON.stringify(machines[i]!.loaded) === JSON.stringify(machines[j]!.loaded);
    const cuts = cutsOf(a, b, alike, now);
    const within = (blocks: readonly Block[], from: number, to: number) =>
      blocks.filter((block) => startOf(block) >= from && startOf(block) < to);
    let better = false;
    let first = within(a, Number.NEGATIVE_INFINITY, cuts[0] ?? Number.POSITIVE_INFINITY);
    let second = within(b, Number.NEGATIVE_INFINITY, cuts[0] ?? Number.POSITIVE_INFINITY);
    cuts.forEach((from, n) => {
      const to = cuts[n + 1] ?? Number.POSITIVE_INFINITY;
      const [x, y] = [within(a, from, to), within(b, from, to)];
      const crossed = kept(x, j) + kept(y, i) > kept(x, i) + kept(y, j);
      better ||= crossed;
      first = [...first, ...(crossed ? y : x)];
      second = [...second, ...(crossed ? x : y)];
    });
    if (better) [lanes[i], lanes[j]] = [first, second];
    return better;
  };
  // Every exchange keeps more than before, so this ends.
  for (const group of groupsOf(problem))
    for (let better = true; better; ) {
      better = false;
      for (const i of group) for (const j of group) if (i < j && exchange(i, j)) better = true;
    }
  const named = [
    ...made.filter((activity) => !isWork(activity)),
    ...lanes.flatMap((blocks, machine) =>
      blocks.flat().map((activity): Activity => ({ ...activity, machine: machines[machine]!.id })),
    ),
  ];
  // What does not stand as before may by then have lost what it was a later or an earlier form of.
  const count = (activities: readonly Activity[]) => movedCount(movedBetween(previous, activities));
  return count(named) <= count(made) ? named : [...made];
}
