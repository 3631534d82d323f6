import { demandOf } from '../../demand/demand.ts';
import { cover, lotsOfFills } from '../../plan/cover.ts';
import { type Latest, latestOf } from '../../plan/latest.ts';
import { type Activity, isHandsOn, placeOf } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';

type OnMachine = Exclude<Activity, { kind: 'test' }>;
type Flowing = Extract<Activity, { kind: 'circuit' | 'bath' | 'fill' }>;
type Fill = Flowing & { readonly kind: 'fill' };

/** Bags of a fill that serve one need. */
interface Served {
  readonly bath: string;
  readonly round: number;
  /** Minute at which the round leaves. */
  readonly at: number;
  readonly litres: number;
  /** Bags of fillLitres, fractions kept. */
  readonly bags: number;
}

/** Why an activity is where it is. Times in minutes from the start. */
export interface ActivityReason {
  readonly activity: Activity;
  /** Fills that depend on it: itself, the fill that a swap ends, those on a circuit or bath, those on a test's water. */
  readonly fills: readonly Activity[];
  /** What those fills serve, by round, then bath. */
  readonly serves: readonly Served[];
  /** L of those fills that serve no need (they may count for the reserve). */
  readonly spareLitres: number;
  /** A fill may last this long, min; null for other kinds. */
  readonly fillWindow: { readonly shortest: number; readonly longest: number } | null;
  /** How much later it could be while all else stays, and what sets that. */
  readonly latest: Latest;
  /** What else needs a technician meanwhile. */
  readonly alongside: readonly Activity[];
  /** Technicians on shift when it starts. */
  readonly onShift: number;
  /** Minute at which the test ended that serves it as it starts; null: it needs none, or there is none. */
  readonly testEnded: number | null;
}

const onMachine = (activity: Activity, machine: string): boolean =>
  activity.kind !== 'test' && activity.machine === machine;
const flows = (activity: Activity): activity is Flowing =>
  activity.kind !== 'swap' && activity.kind !== 'test' && activity.kind !== 'duty';
const isFill = (activity: Activity): activity is Fill => activity.kind === 'fill';
const same = (a: Activity, b: Activity) =>
  a.kind === b.kind && placeOf(a) === placeOf(b) && a.start === b.start && a.end === b.end;

/**
 * Why one activity of a plan is here: the needs that its bags serve, how much later it could be, who else is busy then,
 * and the test that it runs on. Facts; `reports/activityReason.ts` words them.
 */
export function explainActivity(
  problem: Problem,
  activities: readonly Activity[],
  activity: Activity,
): ActivityReason {
  const inTime = [...activities].sort((a, b) => a.start - b.start || a.end - b.end);
  const fills = dependents(problem, inTime, activity);
  const machine = problem.machines.find(({ id }) => onMachine(activity, id));
  const own = inTime.findIndex((other) => same(other, activity));
  return {
    activity,
    fills,
    ...servedBy(problem, inTime, fills),
    fillWindow:
      activity.kind === 'fill' && machine ? { shortest: machine.shortest, longest: machine.longest } : null,
    latest: latestOf(problem, inTime, own),
    alongside: inTime.filter(
      (other) =>
        isHandsOn(other) &&
        !same(other, activity) &&
        other.start < activity.end &&
        activity.start < other.end,
    ),
    onShift: problem.staff[activity.start] ?? 0,
    testEnded:
      flows(activity) && machine
        ? testBefore(
            testEnds(problem, inTime, machine.water),
            problem.water[machine.water]!.testEvery,
            activity.start,
          )
        : null,
  };
}

/** What some fills of a plan serve, by round, then bath, and the litres that serve nothing. */
function servedBy(
  problem: Problem,
  inTime: readonly Activity[],
  mine: readonly Fill[],
): Pick<ActivityReason, 'serves' | 'spareLitres'> {
  const covered = cover(problem, demandOf(problem), lotsOfFills(problem, inTime));
  const all = inTime.filter(isFill);
  const lots = new Set(mine.map((fill) => problem.lots.length + all.findIndex((other) => same(other, fill))));
  const served = new Map<string, Served>();
  for (const { lot, bath, round, parts } of covered.servings) {
    if (!lots.has(lot)) continue;
    const key = `${round} ${bath}`;
    const litres = (served.get(key)?.litres ?? 0) + parts / problem.partsPerLitre;
    const bags = litres / problem.rules.fillLitres;
    served.set(key, { bath: problem.baths[bath]!, round, at: problem.rounds[round]!.at, litres, bags });
  }
  const spare = [...lots].reduce((sum, lot) => sum + (covered.left[lot] ?? 0), 0);
  return {
    serves: [...served.values()].sort(
      (a, b) => a.round - b.round || problem.baths.indexOf(a.bath) - problem.baths.indexOf(b.bath),
    ),
    spareLitres: spare / problem.partsPerLitre,
  };
}

/** Ends of the tests of a source, ascending, `lastTest` included. */
function testEnds(problem: Problem, inTime: readonly Activity[], source: number): number[] {
  const { id, lastTest } = problem.water[source]!;
  const ends = inTime.flatMap((a) => (a.kind === 'test' && a.water === id ? a.end : []));
  return [...(lastTest === null ? [] : [lastTest]), ...ends].sort((a, b) => a - b);
}

/** The end of the last test that is over by a minute and still serves it; null: none. */
function testBefore(ends: readonly number[], testEvery: number, minute: number): number | null {
  const last = ends.findLast((end) => end <= minute);
  return last !== undefined && minute <= last + testEvery ? last : null;
}

/** The end of the circuit that an activity is on; null: none is in place, or it brings its own, which ends later with it. */
export function circuitEnd(
  problem: Problem,
  inTime: readonly Activity[],
  activity: OnMachine,
): number | null {
  if (activity.kind === 'circuit') return null;
  const last = inTime.findLast(
    (other) =>
      other.kind === 'circuit' && other.machine === activity.machine && other.start <= activity.start,
  );
  const loaded = problem.machines.find(({ id }) => id === activity.machine)?.loaded;
  const since = last?.start ?? loaded?.since;
  return since === undefined ? null : since + problem.rules.circuitLife;
}

/** The fills that depend on an activity: itself, the one that a swap ends, those on a circuit, a bath or a test. */
function dependents(problem: Problem, inTime: readonly Activity[], activity: Activity): Fill[] {
  if (isFill(activity)) return [activity];
  if (activity.kind === 'duty') return [];
  if (activity.kind === 'test') return dependentsOfTest(problem, inTime, activity);
  const mine = inTime.filter((other) => onMachine(other, activity.machine));
  if (activity.kind === 'swap') return mine.filter(isFill).filter(({ end }) => end === activity.start);
  const later = mine.filter(({ start }) => start >= activity.end);
  const over = later.findIndex(
    ({ kind }) => kind === 'circuit' || (kind === 'bath' && activity.kind === 'bath'),
  );
  return later.slice(0, over < 0 ? undefined : over).filter(isFill);
}

/** The fills that depend on what would run on untested water, were a test not there. */
function dependentsOfTest(
  problem: Problem,
  inTime: readonly Activity[],
  test: Extract<Activity, { kind: 'test' }>,
): Fill[] {
  const source = problem.water.findIndex(({ id }) => id === test.water);
  if (source < 0) return [];
  const { testEvery } = problem.water[source]!;
  const machines = new Set(problem.machines.filter(({ water }) => water === source).map(({ id }) => id));
  const ends = testEnds(problem, inTime, source);
  const without = ends.toSpliced(ends.indexOf(test.end), 1);
  const untested = inTime.filter(flows).filter((run) => {
    if (!machines.has(run.machine)) return false;
    for (let t = Math.max(run.start, test.end); t <= Math.min(run.end - 1, test.end + testEvery); t++)
      if (testBefore(without, testEvery, t) === null) return true;
    return false;
  });
  const found = new Set(untested.flatMap((run) => dependents(problem, inTime, run)));
  return [...found].sort((a, b) => a.start - b.start);
}
