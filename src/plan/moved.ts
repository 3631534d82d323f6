import { type Activity, bathsOf, placeOf } from './plan.ts';

/** How a plan differs from the one before it. */
export interface Moved {
  /** Indexes of activities that the plan before did not have. */
  readonly added: readonly number[];
  /** The same work at the same place, begun or ended at another minute: index now, index before. */
  readonly shifted: readonly { readonly index: number; readonly before: number }[];
  /** Indexes of activities of the plan before that this one has no more. */
  readonly gone: readonly number[];
}

/** Further apart than this, min, two activities count as one that is gone and one that is new. */
const FAR = 720;

/** Kind, place and bath: what an activity is, apart from when. */
const workOf = (activity: Activity, bath: string): string =>
  `${activity.kind}\n${placeOf(activity)}\n${bath}`;
/** An activity with all of its own that makes it the same one in another plan. */
export const signOf = (activity: Activity): string =>
  `${workOf(activity, 'bath' in activity ? activity.bath : '')}\n${activity.start}\n${activity.end}`;

/** What each activity of a plan is: a swap of 3K is no swap of 2K at another minute. */
function worksOf(activities: readonly Activity[]): string[] {
  const baths = bathsOf(activities);
  return activities.map((activity, index) => workOf(activity, baths[index]!));
}

/** Activities of `after`, by index, that stand unchanged in `before`, with their index there. */
function unchanged(
  before: readonly Activity[],
  after: readonly Activity[],
  [worksBefore, worksAfter]: readonly [readonly string[], readonly string[]],
): Map<number, number> {
  const free = new Map<string, number[]>();
  const sign = (work: string, { start, end }: Activity) => `${work}\n${start}\n${end}`;
  before.forEach((activity, index) => {
    const mine = sign(worksBefore[index]!, activity);
    free.set(mine, [...(free.get(mine) ?? []), index]);
  });
  return new Map(
    after.flatMap((activity, index) => {
      const found = free.get(sign(worksAfter[index]!, activity))?.shift();
      return found === undefined ? [] : [[index, found] as const];
    }),
  );
}

/**
 * What moved between two plans, by machine or source, kind, bath, start and end; what is neither added, shifted nor
 * gone stands as it stood. Of the ways to pair the rest off, the nearest in time are paired first.
 */
export function movedBetween(before: readonly Activity[], after: readonly Activity[]): Moved {
  const works = [worksOf(before), worksOf(after)] as const;
  const same = unchanged(before, after, works);
  const kept = new Set(same.values());
  const open = new Map<string, number[]>();
  works[0].forEach((work, index) => {
    if (!kept.has(index)) open.set(work, [...(open.get(work) ?? []), index]);
  });
  const fresh = after.flatMap((_, index) => (same.has(index) ? [] : index));
  const apart = (index: number, other: number) => {
    const [a, b] = [after[index]!, before[other]!];
    return Math.abs(a.start - b.start) + Math.abs(a.end - b.end);
  };
  const pairs = fresh
    .flatMap((index) =>
      (open.get(works[1][index]!) ?? []).map((other) => ({
        index,
        before: other,
        by: apart(index, other),
      })),
    )
    .filter(({ index, before: other }) => Math.abs(after[index]!.start - before[other]!.start) <= FAR)
    .sort((a, b) => a.by - b.by || a.index - b.index || a.before - b.before);
  const paired = new Map<number, number>();
  const taken = new Set<number>(kept);
  for (const { index, before: other } of pairs) {
    if (paired.has(index) || taken.has(other)) continue;
    paired.set(index, other);
    taken.add(other);
  }
  return {
    added: fresh.filter((index) => !paired.has(index)),
    shifted: [...paired]
      .map(([index, other]) => ({ index, before: other }))
      .sort((a, b) => a.index - b.index),
    gone: before.flatMap((_, index) => (taken.has(index) ? [] : index)),
  };
}

/** How many activities were added, shifted or went. */
export const movedCount = ({ added, shifted, gone }: Moved): number =>
  added.length + shifted.length + gone.length;
