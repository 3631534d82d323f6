import { type Activity, type ActivityKind, type DutyActivity, placeOf } from '../plan/plan.ts';
import type { Duty, Machine, Problem, WaterSource } from '../scenario/problem/types.ts';
import { workText } from '../words/activities.ts';

export type Flowing = Extract<Activity, { kind: 'circuit' | 'bath' | 'fill' }>;
export type OnMachine = Flowing | Extract<Activity, { kind: 'swap' }>;

/** A plan sorted for judging. Nothing is taken on trust: a plan may come from a file or from a hand. */
export interface Facts {
  readonly problem: Problem;
  /** As given, whatever it holds. */
  readonly given: readonly Activity[];
  /** Of a known kind with whole minutes and start before end, by start, then end: what the other rules judge. */
  readonly sound: readonly Activity[];
  /** Sound activities on machine number i, by start, then end. */
  readonly onMachine: readonly (readonly OnMachine[])[];
  /** The same with the duties at machine number i; at one minute duties come first. */
  readonly allOnMachine: readonly (readonly (OnMachine | DutyActivity)[])[];
  /** Sound duties, all of them, and those at water source number i. */
  readonly duties: readonly DutyActivity[];
  readonly dutiesAtWater: readonly (readonly DutyActivity[])[];
  /** Minutes at which water source number i has a finished test, ascending; `lastTest` included. */
  readonly testEnds: readonly (readonly number[])[];
  readonly machine: (activity: Activity) => Machine | undefined;
  readonly machineNumber: (activity: Activity) => number;
  readonly source: (activity: Activity) => WaterSource | undefined;
  /** The source of a test or of a duty at one; -1 for any other. */
  readonly sourceNumber: (activity: Activity) => number;
  /** The scenario's row of a duty: the first of its name. */
  readonly duty: (activity: DutyActivity) => Duty | undefined;
  readonly placeOfDuty: (duty: Duty) => string;
  /** Begun before `Problem.now` and known to be under way. */
  readonly isUnderWay: (activity: Activity) => boolean;
  readonly bathNumber: (bath: string) => number;
  /** Local time for a sentence, e.g. 2031-02-03 07:00. */
  readonly at: (minute: number) => string;
}

const KINDS: ReadonlySet<ActivityKind> = new Set(['circuit', 'bath', 'fill', 'swap', 'test', 'duty']);
/** No scenario comes near: beyond it (200 years) a minute has no local time worth telling. */
const FAR = 105_000_000;

export const isKnownKind = (activity: Activity): boolean =>
  typeof activity === 'object' && activity !== null && KINDS.has(activity.kind);
export const hasSoundTimes = ({ start, end }: Activity): boolean =>
  Number.isSafeInteger(start) && Number.isSafeInteger(end) && start < end;
/** Water flows through the machine. */
export const flows = (activity: Activity): activity is Flowing =>
  activity.kind === 'circuit' || activity.kind === 'bath' || activity.kind === 'fill';
/** From here on an activity is judged: its start, or now where a day under way is planned on. */
export const judgedFrom = ({ problem: { now } }: Facts, { start }: Activity): number =>
  now > 0 ? Math.max(now, start) : start;
export const lengthOf = ({ start, end }: Activity): number => end - start;

const signOf = (activity: Activity): string =>
  JSON.stringify([activity.kind, placeOf(activity), activity.start, 'bath' in activity ? activity.bath : '']);
const byTime = (a: Activity, b: Activity) => a.start - b.start || a.end - b.end;
const dutiesFirst = (a: Activity, b: Activity) =>
  a.start - b.start || Number(b.kind === 'duty') - Number(a.kind === 'duty') || a.end - b.end;

/** @param underWay see `AuditOptions` */
export function factsOf(
  problem: Problem,
  given: readonly Activity[],
  underWay: readonly Activity[] = [],
): Facts {
  const machines = new Map(problem.machines.map((machine, index) => [machine.id, index]));
  const sources = new Map(problem.water.map((source, index) => [source.id, index]));
  const baths = new Map(problem.baths.map((id, index) => [id, index]));
  const dutyRows = new Map(problem.duties.toReversed().map((duty) => [duty.id, duty]));
  const begun = new Set(underWay.map(signOf));
  const machineNumber = (activity: Activity) =>
    activity.kind === 'test' || activity.machine == null ? -1 : (machines.get(activity.machine) ?? -1);
  const sourceNumber = (activity: Activity) =>
    (activity.kind === 'test' || activity.kind === 'duty') && activity.water != null
      ? (sources.get(activity.water) ?? -1)
      : -1;
  const sound = given.filter((activity) => isKnownKind(activity) && hasSoundTimes(activity)).sort(byTime);
  const onMachine: OnMachine[][] = problem.machines.map(() => []);
  const allOnMachine: (OnMachine | DutyActivity)[][] = problem.machines.map(() => []);
  const duties: DutyActivity[] = [];
  const dutiesAtWater: DutyActivity[][] = problem.water.map(() => []);
  const testEnds = problem.water.map(({ lastTest }) => (lastTest === null ? [] : [lastTest]));
  for (const activity of sound)
    if (activity.kind === 'test') testEnds[sourceNumber(activity)]?.push(activity.end);
    else {
      allOnMachine[machineNumber(activity)]?.push(activity);
      if (activity.kind !== 'duty') onMachine[machineNumber(activity)]?.push(activity);
      else {
        duties.push(activity);
        dutiesAtWater[sourceNumber(activity)]?.push(activity);
      }
    }
  for (const ends of testEnds) ends.sort((a, b) => a - b);
  for (const list of allOnMachine) list.sort(dutiesFirst);
  const told = new Map<number, string>();
  return {
    problem,
    given,
    sound,
    onMachine,
    allOnMachine,
    duties,
    dutiesAtWater,
    testEnds,
    machine: (activity) => problem.machines[machineNumber(activity)],
    machineNumber,
    source: (activity) => problem.water[sourceNumber(activity)],
    sourceNumber,
    duty: ({ duty }) => dutyRows.get(duty),
    placeOfDuty: ({ place }) =>
      place === null ? '' : (place.kind === 'machine' ? problem.machines : problem.water)[place.index]!.id,
    isUnderWay: (activity) => activity.start < problem.now && begun.has(signOf(activity)),
    bathNumber: (bath) => baths.get(bath) ?? -1,
    at(minute) {
      if (!(Math.abs(minute) < FAR)) return `minute ${minute}`;
      let text = told.get(minute);
      if (text === undefined) {
        text = problem.clock.localOf(Math.floor(minute)).replace('T', ' ');
        told.set(minute, text);
      }
      return text;
    },
  };
}

/** What an activity is called in a sentence, e.g. "fill of 2K on M1". */
export const nameOf = (activity: Activity): string =>
  isKnownKind(activity) ? workText(activity) : 'activity';

/** Like 1 minute, 2 minutes, 0.5 bags. */
export const counted = (amount: number, unit: string): string =>
  `${Number(amount.toPrecision(9))} ${amount === 1 ? unit : `${unit}s`}`;

/** How often something of a kind starts, or ends, in a minute. */
export function timesAt(
  activities: readonly OnMachine[],
  kind: OnMachine['kind'],
  edge: 'start' | 'end',
): Map<number, number> {
  const times = new Map<number, number>();
  for (const activity of activities)
    if (activity.kind === kind) times.set(activity[edge], (times.get(activity[edge]) ?? 0) + 1);
  return times;
}
