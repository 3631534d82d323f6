import { demandOf } from '../../demand/demand.ts';
import { cover, lotsOfFills } from '../../plan/cover.ts';
import { type Activity, isHandsOn, placeOf } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { workText } from '../../words/activities.ts';

/** How much later something could be, and what sets that. */
interface Latest {
  readonly slack: number;
  readonly by: 'round' | 'circuit' | 'window';
  readonly at: number;
}
type OnMachine = Exclude<Activity, { kind: 'test' }>;
type Flowing = Extract<Activity, { kind: 'circuit' | 'bath' | 'fill' }>;
type Fill = Flowing & { readonly kind: 'fill' };

/** Bags of a fill that serve one need. */
export interface Served {
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
  /** The available time of its machine in which it lies; null for a test. */
  readonly window: { readonly from: number; readonly to: number } | null;
  /**
   * By how many minutes it could be later before some round that it serves would miss bags, or before it or what follows
   * on its circuit would pass the circuit's end or that of the machine's available time; null: it serves none.
   */
  readonly slack: number | null;
  /** What sets the slack, and the minute at which that is; null: there is none. */
  readonly slackBy: { readonly by: 'round' | 'circuit' | 'window'; readonly at: number } | null;
  /** What else needs a technician meanwhile. */
  readonly alongside: readonly Activity[];
  /** Technicians on shift when it starts. */
  readonly onShift: number;
  /** Minute at which the test ended that serves it as it starts; null: it needs none, or there is none. */
  readonly testEnded: number | null;
  readonly sentences: readonly string[];
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
 * and the test that it runs on.
 * @param when how a minute is told; default: local date and time
 */
export function explainActivity(
  problem: Problem,
  activities: readonly Activity[],
  activity: Activity,
  when: (minute: number) => string = (minute) => problem.clock.localOf(minute).replace('T', ' '),
): ActivityReason {
  const inTime = [...activities].sort((a, b) => a.start - b.start || a.end - b.end);
  const all = inTime.filter(isFill);
  const covered = cover(problem, demandOf(problem), lotsOfFills(problem, all));
  const servings = all.map((_, index) =>
    covered.servings.filter(({ lot }) => lot === problem.lots.length + index),
  );
  const { releaseMinutes, swapMinutes } = problem.rules;
  const roundOf = (index: number): number =>
    Math.min(...servings[index]!.map(({ round }) => problem.rounds[round]!.at));
  const mine = dependents(problem, inTime, activity).map(({ fill, gap }) => ({
    fill,
    gap,
    index: all.findIndex((other) => same(other, fill)),
  }));

  const served = new Map<string, Served>();
  let spare = 0;
  const latest: Latest[] = [];
  for (const { index, gap } of mine) {
    if (index < 0) continue;
    spare += covered.left[problem.lots.length + index]!;
    if (servings[index]!.length > 0) {
      const at = roundOf(index);
      latest.push({ slack: gap + at - (all[index]!.end + swapMinutes + releaseMinutes), by: 'round', at });
    }
    for (const { bath, round, parts } of servings[index]!) {
      const key = `${round} ${bath}`;
      const litres = (served.get(key)?.litres ?? 0) + parts / problem.partsPerLitre;
      const bags = litres / problem.rules.fillLitres;
      served.set(key, { bath: problem.baths[bath]!, round, at: problem.rounds[round]!.at, litres, bags });
    }
  }
  const machine = problem.machines.find(({ id }) => onMachine(activity, id));
  if (latest.length > 0) latest.push(...endsInTheWay(problem, inTime, activity));
  const first = latest.reduce<Latest | null>((a, b) => (a && a.slack <= b.slack ? a : b), null);
  const reason: Omit<ActivityReason, 'sentences'> = {
    activity,
    fills: mine.map(({ fill }) => fill),
    serves: [...served.values()].sort(
      (a, b) => a.round - b.round || problem.baths.indexOf(a.bath) - problem.baths.indexOf(b.bath),
    ),
    spareLitres: spare / problem.partsPerLitre,
    fillWindow:
      activity.kind === 'fill' && machine ? { shortest: machine.shortest, longest: machine.longest } : null,
    window: machine?.windows.find(({ from, to }) => from <= activity.start && activity.end <= to) ?? null,
    slack: first?.slack ?? null,
    slackBy: first && { by: first.by, at: first.at },
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
  return { ...reason, sentences: tell(reason, when) };
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

/** What a delay of an activity pushes: itself and what follows on its circuit, with the idle minutes used up first. */
function pushed(
  inTime: readonly Activity[],
  activity: OnMachine,
): { readonly work: OnMachine; readonly gap: number }[] {
  const found = [{ work: activity, gap: 0 }];
  let busyUntil = activity.end;
  let gap = 0;
  for (const other of inTime) {
    if (other.kind === 'test' || other.machine !== activity.machine || other.start < activity.end) continue;
    if (other.kind === 'circuit') break;
    gap += Math.max(0, other.start - busyUntil);
    busyUntil = Math.max(busyUntil, other.end);
    found.push({ work: other, gap });
  }
  return found;
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

/**
 * How much later an activity could be before it or what it pushes would pass the end of its circuit or of the available
 * time in which it lies. A bag's shelf life is in nobody's way: what is filled later is good for longer.
 */
function endsInTheWay(problem: Problem, inTime: readonly Activity[], activity: Activity): Latest[] {
  if (activity.kind === 'test') {
    return runsOnTest(problem, inTime, activity).flatMap(({ run, idle }) =>
      endsInTheWay(problem, inTime, run).map((one) => ({ ...one, slack: one.slack + idle })),
    );
  }
  const end = circuitEnd(problem, inTime, activity);
  const windows = problem.machines.find(({ id }) => id === activity.machine)?.windows ?? [];
  return pushed(inTime, activity).flatMap(({ work, gap }): Latest[] => {
    const window = windows.find(({ from, to }) => from <= work.start && work.end <= to);
    return [
      ...(end === null ? [] : [{ slack: end - work.end + gap, by: 'circuit' as const, at: end }]),
      ...(window ? [{ slack: window.to - work.end + gap, by: 'window' as const, at: window.to }] : []),
    ];
  });
}

/** The fills that depend on an activity, each with the idle minutes between them that a delay would use up first. */
function dependents(
  problem: Problem,
  inTime: readonly Activity[],
  activity: Activity,
): { fill: Fill; gap: number }[] {
  if (isFill(activity)) return [{ fill: activity, gap: 0 }];
  if (activity.kind === 'test') return dependentsOfTest(problem, inTime, activity);
  if (activity.kind === 'duty') return [];
  const mine = inTime.filter((other) => onMachine(other, activity.machine));
  if (activity.kind === 'swap')
    return mine.flatMap((fill) => (isFill(fill) && fill.end === activity.start ? [{ fill, gap: 0 }] : []));
  const fills: { fill: Fill; gap: number }[] = [];
  let busyUntil = activity.end;
  let gap = 0;
  for (const other of mine) {
    if (other.start < activity.end) continue;
    if (other.kind === 'circuit' || (other.kind === 'bath' && activity.kind === 'bath')) break;
    gap += Math.max(0, other.start - busyUntil);
    busyUntil = Math.max(busyUntil, other.end);
    if (isFill(other)) fills.push({ fill: other, gap });
  }
  return fills;
}

/** What would run on untested water, were a test not there, with the minutes by which the test could be later first. */
function runsOnTest(
  problem: Problem,
  inTime: readonly Activity[],
  test: Extract<Activity, { kind: 'test' }>,
): { run: Flowing; idle: number }[] {
  const source = problem.water.findIndex(({ id }) => id === test.water);
  if (source < 0) return [];
  const { testEvery } = problem.water[source]!;
  const machines = new Set(problem.machines.filter(({ water }) => water === source).map(({ id }) => id));
  const ends = testEnds(problem, inTime, source);
  const without = ends.toSpliced(ends.indexOf(test.end), 1);
  return inTime.flatMap((run) => {
    if (!flows(run) || !machines.has(run.machine)) return [];
    const last = Math.min(run.end - 1, test.end + testEvery);
    let bare = Math.max(run.start, test.end);
    while (
      bare <= last &&
      (testBefore(ends, testEvery, bare) !== test.end || testBefore(without, testEvery, bare) !== null)
    )
      bare++;
    return bare > last ? [] : [{ run, idle: bare - test.end }];
  });
}

/** The fills that depend on what would run on untested water, were a test not there. */
function dependentsOfTest(
  problem: Problem,
  inTime: readonly Activity[],
  test: Extract<Activity, { kind: 'test' }>,
): { fill: Fill; gap: number }[] {
  const found = new Map<Fill, number>();
  for (const { run, idle } of runsOnTest(problem, inTime, test))
    for (const { fill, gap } of dependents(problem, inTime, run))
      found.set(fill, Math.min(found.get(fill) ?? gap + idle, gap + idle));
  return [...found].map(([fill, gap]) => ({ fill, gap })).sort((a, b) => a.fill.start - b.fill.start);
}

const round1 = (value: number) => Math.round(value * 10) / 10;
const length = (minutes: number) =>
  minutes < 60
    ? `${minutes} min`
    : `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, '0')} min`;
function slackText(
  slack: number,
  { by, at }: NonNullable<ActivityReason['slackBy']>,
  when: (minute: number) => string,
): string {
  const ends = {
    round: 'a round that it should serve',
    circuit: `the end of the circuit at ${when(at)}, with what follows on it`,
    window: `the end of the machine's available time at ${when(at)}, with what follows`,
  };
  if (slack < 0) return `It is ${length(-slack)} too late for ${ends[by]}.`;
  return by === 'round'
    ? `It could be ${length(slack)} later before a round that it serves would miss bags, other things on the machine permitting.`
    : `It could be ${length(slack)} later, up to ${ends[by]}, other things on the machine permitting.`;
}

function tell(reason: Omit<ActivityReason, 'sentences'>, when: (minute: number) => string): string[] {
  const { activity, serves, slack, slackBy, alongside, fillWindow, onShift, spareLitres, fills, testEnded } =
    reason;
  const sentences: string[] = [];
  if (serves.length > 0) {
    const through =
      activity.kind === 'fill' ? 'Its bags' : `Bags of the ${fills.length} fills that depend on it`;
    const list = serves.map(({ bags, bath, at }) => `${round1(bags)} of ${bath} at ${when(at)}`);
    sentences.push(
      `${fills.length === 1 && activity.kind !== 'fill' ? 'Bags of its fill' : through} serve: ${list.join('; ')}.`,
    );
  } else if (fills.length === 0) sentences.push('No fill depends on it.');
  else sentences.push('Its bags serve no round of this plan.');
  if (spareLitres > 0.05)
    sentences.push(`${round1(spareLitres)} L are left over, for the reserve or to expire.`);
  if (slack !== null && slackBy) sentences.push(slackText(slack, slackBy, when));
  if (fillWindow)
    sentences.push(
      `It may last ${fillWindow.shortest} to ${fillWindow.longest} min, so its swap may start from ${when(activity.start + fillWindow.shortest)} to ${when(activity.start + fillWindow.longest)}.`,
    );
  if (activity.kind !== 'fill') {
    const others = alongside.map((other) => workText(other, ''));
    sentences.push(
      others.length > 0
        ? `Meanwhile technicians are also at: ${others.join('; ')}. ${onShift} on shift as it starts.`
        : `No other work needs a technician meanwhile; ${onShift} on shift as it starts.`,
    );
  }
  if (testEnded !== null)
    sentences.push(`It starts on the total chlorine test that ended at ${when(testEnded)}.`);
  return sentences;
}
