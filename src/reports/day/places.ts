import { latestIn, type SwapWindow } from '../../plan/latest.ts';
import { type Activity, bathsOf, placeOf } from '../../plan/plan.ts';
import { askedAgain, withoutTestsDone } from '../../plan/testDone.ts';
import type { Start } from '../../record/from.ts';
import type { CircuitLots } from '../../record/state/books.ts';
import type { MachineState, WaterState } from '../../record/state.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { workOrder } from '../../words/activities.ts';
import { timeText, whenText } from '../../words/times.ts';
import { windowsUnderWay } from './windows.ts';

/** What a person can do at a place now, each one entry of the record. */
export type Act = 'fill' | 'off' | 'circuit' | 'bath' | 'test' | 'reading' | 'stop' | 'back';

/** What comes next at a place by the plan. */
interface NextThere {
  readonly activity: Activity;
  /** As an order, with its bath. */
  readonly order: string;
  /** Minute by which it has to begin: the tightest of all its limits. */
  readonly noLater: number;
  readonly act: Act | null;
}
/** One machine or water source as it is now. */
export interface PlaceNow {
  readonly id: string;
  readonly kind: 'machine' | 'water';
  readonly tone: 'good' | 'warn' | 'bad' | 'now' | 'quiet';
  /** What it is at, one sentence; what to do first. */
  readonly says: string;
  /** Bath that runs on it, or null. */
  readonly bath: string | null;
  /** Of a fill under way: the minutes between which its bags come off, both inclusive (see `windowsUnderWay`). */
  readonly window: SwapWindow | null;
  /** The lot that is being filled, or null. */
  readonly lot: string | null;
  /** Bags side by side on a machine, and the lots that its circuit is fed from, as noted; null: none is noted, or it is no machine. */
  readonly positions: number | null;
  readonly lots: CircuitLots | null;
  readonly next: NextThere | null;
  /** What may be noted here, the likeliest first. */
  readonly acts: readonly Act[];
}

const FILLING: readonly Act[] = ['off', 'reading', 'stop'];

/** What a machine is at. The worst comes first: what is unsafe is said before what is planned. */
function machineSays(
  problem: Problem,
  machine: MachineState,
  source: WaterState,
  window: SwapWindow | null,
): Pick<PlaceNow, 'tone' | 'says' | 'acts'> {
  const { clock } = problem;
  const time = (minute: number) => timeText(clock, minute);
  const { underWay, bath, outOfService, outUntil, outOfLimits, swapUntil } = machine;
  if (underWay?.kind === 'fill') {
    if (underWay.doubtful)
      return {
        tone: 'bad',
        says: 'Stop this fill. Its machine, its water or its reading is in doubt. The bags go on hold.',
        acts: ['stop', 'off', 'reading'],
      };
    if (underWay.overfull)
      return {
        tone: 'bad',
        says: `Overfull since ${time(underWay.latestEnd)}. Take the bags off. They go on hold.`,
        acts: FILLING,
      };
  }
  if (outOfService)
    return {
      tone: 'bad',
      says: outUntil === null ? 'Unavailable.' : `Unavailable until ${whenText(clock, outUntil)}.`,
      acts: underWay?.kind === 'fill' ? ['off', 'stop', 'back'] : ['back'],
    };
  if (outOfLimits !== null)
    return {
      tone: 'bad',
      says: 'Reading out of limits. Fill nothing before a reading within limits or a new set-up.',
      acts: ['reading', 'circuit', ...(underWay?.kind === 'fill' ? (['off', 'stop'] as const) : [])],
    };
  const circuitEnd = (machine.circuitSince ?? 0) + problem.rules.circuitLife;
  if (underWay?.kind === 'fill' && bath !== null && underWay.earliestEnd > circuitEnd)
    return {
      tone: 'bad',
      says: `Filling since ${time(underWay.start)}. The circuit ${circuitEnd <= problem.now ? 'ended' : 'ends'} ${whenText(clock, circuitEnd)}, before the bags are full. They go on hold.`,
      acts: ['stop', 'off', 'reading'],
    };
  if (underWay?.kind === 'fill')
    return {
      tone: 'now',
      says: `Filling since ${time(underWay.start)}. Swap ${window!.to > window!.from ? `from ${time(window!.from)} to ${time(window!.to)}` : `at ${time(window!.from)}`}.`,
      acts: FILLING,
    };
  if (underWay)
    return {
      tone: 'now',
      says: `${underWay.kind === 'circuit' ? 'A new circuit is being set up' : 'The bath is being changed'} until ${time(underWay.latestEnd)}.`,
      acts: [underWay.kind],
    };
  if (source.last === 'fail')
    return {
      tone: 'bad',
      says: `Start nothing here. ${source.id} failed its test and must pass a new one first.`,
      acts: ['reading'],
    };
  if (swapUntil !== null)
    return { tone: 'now', says: `Bags come off until ${time(swapUntil)}.`, acts: ['fill', 'reading'] };
  const resting = restingSays(problem, machine);
  const untested = untestedText(problem, source);
  return untested ? { ...resting, tone: 'bad', says: untested } : resting;
}

/** A machine on which nothing is under way, whatever its water. Without a circuit, or past its end, only a new one may be noted first. */
function restingSays(
  { clock, rules, now }: Problem,
  { bath, circuitSince }: MachineState,
): Pick<PlaceNow, 'tone' | 'says' | 'acts'> {
  if (bath === null) return { tone: 'quiet', says: 'No circuit in place.', acts: ['circuit'] };
  const end = whenText(clock, circuitSince! + rules.circuitLife);
  return circuitSince! + rules.circuitLife <= now
    ? {
        tone: 'warn',
        says: `The circuit ended ${end}. Set up a new one before anything is filled.`,
        acts: ['circuit', 'reading'],
      }
    : {
        tone: 'quiet',
        says: `Resting. The circuit runs until ${end}.`,
        acts: ['fill', 'bath', 'circuit', 'reading'],
      };
}

/** Why nothing may begin on a source that passed its last test or has none; null: it may. */
function untestedText(
  { clock, water, now }: Problem,
  { id, last, lastEnd, unsure }: WaterState,
): string | null {
  if (last === null) return `Start nothing here before a test of ${id} passes: none is noted.`;
  if (unsure)
    return `Start nothing here before a test of ${id} passes: nobody noted ${unsure.duty} of ${timeText(clock, unsure.at)}.`;
  const { testEvery } = water.find((one) => one.id === id)!;
  return lastEnd! + testEvery < now
    ? `Start nothing here before a test of ${id} passes: that of ${timeText(clock, lastEnd!)} is too old.`
    : null;
}

function waterSays(problem: Problem, source: WaterState, testEvery: number, now: number) {
  const { clock } = problem;
  if (source.outOfService) return { tone: 'bad', says: 'Unavailable.', acts: ['back'] } as const;
  if (source.last === null)
    return { tone: 'warn', says: 'No test is noted. Test before anything runs.', acts: ['test'] } as const;
  const at = timeText(clock, source.lastEnd!);
  if (source.last === 'fail')
    return {
      tone: 'bad',
      says: `The test of ${at} FAILED. Nothing may run before a new test passes.`,
      acts: ['test'],
    } as const;
  const { unsure } = source;
  if (unsure)
    return {
      tone: 'bad',
      says: `Was ${unsure.duty} of ${timeText(clock, unsure.at)} done? Nobody noted it. Test before anything runs.`,
      acts: ['test'],
    } as const;
  const until = source.lastEnd! + testEvery;
  return until < now
    ? ({
        tone: 'bad',
        says: `The test of ${at} is too old. Test before anything runs.`,
        acts: ['test'],
      } as const)
    : ({
        tone: 'good',
        says: `Passed ${at}. It holds until ${timeText(clock, until)}.`,
        acts: ['test'],
      } as const);
}

/** Why a test is asked for so soon after one passed. */
function againText(problem: Problem, activities: readonly Activity[], source: number): string {
  const again = askedAgain(problem, activities, source);
  return again
    ? ` The plan tests again at ${timeText(problem.clock, again.test.start)}: ${again.needed}.`
    : '';
}
/**
 * Why the next test may end later than the last one holds: nothing draws water in between. Nothing is said where something
 * does, or may, run.
 */
function restText(
  { problem, state }: Start,
  activities: readonly Activity[],
  source: number,
  next: NextThere | undefined,
): string {
  const { id, lastTest, testEvery } = problem.water[source]!;
  if (next?.activity.kind !== 'test' || lastTest === null) return '';
  const until = lastTest + testEvery;
  const { end } = next.activity;
  if (until < state.now || next.noLater <= until) return '';
  const machines = new Set(problem.machines.flatMap((one) => (one.water === source ? one.id : [])));
  const runs =
    state.machines.some((one) => machines.has(one.id) && one.underWay && one.underWay.latestEnd > until) ||
    activities.some(
      (one) =>
        (one.kind === 'circuit' || one.kind === 'bath' || one.kind === 'fill') &&
        machines.has(one.machine) &&
        one.end > until &&
        one.start < end,
    );
  return runs ? '' : ` Nothing runs on ${id} from ${timeText(problem.clock, until)} until it is tested.`;
}
const withAgain = <Said extends { readonly says: string }>(said: Said, again: string) => ({
  ...said,
  says: `${said.says}${again}`,
});

const ACT_OF: Readonly<Partial<Record<Activity['kind'], Act>>> = {
  circuit: 'circuit',
  bath: 'bath',
  fill: 'fill',
  swap: 'off',
  test: 'test',
};

/** It is still to begin: neither past nor what is under way, which may have begun in this very minute. */
export const isAhead = ({ now, machines, water }: Start['state'], activity: Activity): boolean =>
  activity.start >= now &&
  !water.some(
    ({ id, last, lastEnd }) =>
      activity.kind === 'test' && activity.water === id && last === 'pass' && lastEnd === activity.start,
  ) &&
  !machines.some(
    ({ id, underWay }) =>
      underWay?.kind === activity.kind &&
      'machine' in activity &&
      activity.machine === id &&
      activity.start === underWay.start,
  );

/** What the plan has next at each place, from now on. */
function nextAt({ problem, state }: Start, activities: readonly Activity[]): Map<string, NextThere> {
  const found = new Map<string, NextThere>();
  const baths = bathsOf(activities);
  const latest = latestIn(problem, activities);
  const ordered = activities.map((activity, index) => ({ activity, index, bath: baths[index]! }));
  ordered.sort((a, b) => a.activity.start - b.activity.start);
  for (const { activity, index, bath } of ordered) {
    const place = placeOf(activity);
    if (place === '' || found.has(place) || !isAhead(state, activity)) continue;
    found.set(place, {
      activity,
      order: workOrder(activity, bath),
      noLater: latest(index).start,
      act: ACT_OF[activity.kind] ?? null,
    });
  }
  return found;
}
/**
 * Every machine and water source as the record leaves it, with what the plan has next there; in the scenario's order, so
 * that a card stays where it is.
 * @param plan what is planned from now on
 */
export function placesNow(start: Start, plan: readonly Activity[]): PlaceNow[] {
  const { problem, state } = start;
  const activities = withoutTestsDone(problem, plan);
  const { now } = state;
  const next = nextAt(start, activities);
  const windows = windowsUnderWay(problem, state, activities);
  const machines = state.machines.map((machine, index): PlaceNow => {
    const fill = machine.underWay?.kind === 'fill' ? machine.underWay : null;
    const window = windows(machine.id);
    return {
      id: machine.id,
      kind: 'machine',
      ...machineSays(problem, machine, state.water[problem.machines[index]!.water]!, window),
      bath: fill?.bath ?? machine.underWay?.bath ?? machine.bath,
      window,
      lot: fill?.lot ?? null,
      positions: problem.machines[index]!.positions,
      lots: machine.setUp?.lots ?? null,
      next: next.get(machine.id) ?? null,
    };
  });
  const water = state.water.map(
    (source, index): PlaceNow => ({
      id: source.id,
      kind: 'water',
      ...withAgain(
        waterSays(problem, source, problem.water[index]!.testEvery, now),
        againText(problem, activities, index) || restText(start, activities, index, next.get(source.id)),
      ),
      bath: null,
      window: null,
      lot: null,
      positions: null,
      lots: null,
      next: next.get(source.id) ?? null,
    }),
  );
  return [...machines, ...water];
}
