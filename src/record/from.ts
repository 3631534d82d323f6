import type { Activity } from '../plan/plan.ts';
import { compile } from '../scenario/problem/compile.ts';
import type {
  Duty,
  Lot,
  Machine,
  Problem,
  Round,
  ShiftBand,
  Span,
  Supply,
} from '../scenario/problem/types.ts';
import type { Scenario } from '../scenario/schema.ts';
import { withEnds } from './ends.ts';
import type { Noted } from './journal.ts';
import { testsUnderWay } from './overdue.ts';
import type { LotState } from './state/lots.ts';
import { unnotedOf } from './state/water.ts';
import { type MachineState, type State, stateOf, testThatCounts } from './state.ts';

/** Where a plan from now on begins. */
export interface Start {
  /** What can be planned from `now` on with what the record leaves. */
  readonly problem: Problem;
  /** Begun and not ended. A fill's `end` is the first that its real window allows; the planner chooses it within the window. */
  readonly underWay: readonly Activity[];
  /** The same with an end at which somebody is there, with its swaps and the tests that it takes: one way to go on. */
  readonly ended: readonly Activity[];
  /** Machines whose fill or set-up is under way and not counted on: in doubt, overfull, out of service, or without anybody to end it. */
  readonly stopped: readonly string[];
  readonly state: State;
}

/**
 * Reads the record and compiles what is to be planned from minute `now` on.
 * @param now minutes from the scenario's start, within the horizon
 * @param plan that people follow until now: its tests under way are no surprise (see `testsUnderWay`)
 */
export function startAt(
  scenario: Scenario,
  noted: readonly Noted[],
  now: number,
  plan: readonly Activity[] = [],
): Start {
  const whole = compile(scenario);
  const state = stateOf(scenario, whole, noted, now);
  return startFrom(whole, state, testsUnderWay(plan, state));
}

/** The same, of a state that is known. @param whole the scenario compiled, from its start */
export function startFrom(whole: Problem, state: State, tests: readonly Activity[] = []): Start {
  const isKnown = ({ underWay }: MachineState) => !underWay?.bath || whole.baths.includes(underWay.bath);
  const stopped = new Set(
    state.machines
      .filter((one) => isLost(one) || outlivesCircuit(whole, one) || !isKnown(one))
      .map(({ id }) => id),
  );
  for (;;) {
    const problem = problemFrom(whole, state, stopped);
    const underWay = [...underWayOf(state, stopped), ...tests];
    const { activities, without } = withEnds(problem, underWay);
    if (without.length === 0) return { problem, underWay, ended: activities, stopped: [...stopped], state };
    for (const id of without) stopped.add(id);
  }
}

/** The scenario's number of a round of the problem from now on; its round 0 is what is due now. */
export const roundBefore = ({ nextRound }: State, round: number): number =>
  round === 0 ? 0 : nextRound + round - 1;

/**
 * The problem from now on: nothing begins before `now`, its lots are the bags that may serve, its circuits, tests, people,
 * hours and supplies are those that the record leaves, and its round 0 is what is due now.
 */
function problemFrom(problem: Problem, state: State, stopped: ReadonlySet<string>): Problem {
  const { now } = state;
  const shifts = shiftsFrom(problem, state);
  const staff = staffOf(problem, shifts);
  const started = { ...problem, now };
  const takenOff = state.machines.map((machine) => takeOff(started, machine, stopped.has(machine.id), staff));
  for (const span of takenOff)
    for (let t = span?.from ?? 0; t < Math.min(problem.horizon, span?.to ?? 0); t++)
      staff[t] = Math.max(0, staff[t]! - problem.rules.hands.swap);
  return {
    ...problem,
    now,
    dueNow: state.dueNow,
    rounds: roundsFrom(problem, state),
    machines: problem.machines.map((machine, index) => {
      const own = state.machines[index]!;
      const free = takenOff[index]?.to ?? now;
      return machineFrom(started, machine, { ...own, stopped: stopped.has(own.id), free });
    }),
    water: problem.water.map((source, index) => {
      return { ...source, lastTest: testThatCounts(state.water[index]!) };
    }),
    shifts,
    staff,
    lots: lotsFrom(problem, state),
    supplies: problem.supplies.map((supply) => supplyFrom(problem, supply, { state, stopped })),
    duties: problem.duties.map((duty) => dutyFrom(duty, state)),
    lost: [],
  };
}

function roundsFrom({ rounds, horizon }: Problem, { now, nextRound }: State): Round[] {
  const later = rounds.slice(nextRound);
  const due = { index: 0, at: now, from: now, to: later[0]?.from ?? horizon };
  return [due, ...later.map((round, index) => ({ ...round, index: index + 1 }))];
}

/** A fill that nobody should let run on: its bags will be held, or the machine is out. */
const isLost = ({ underWay, outOfService }: MachineState): boolean =>
  underWay !== null && (underWay.doubtful || underWay.overfull || outOfService || underWay.bath === null);

/** A fill whose bags are not full before its circuit ends: they will be held. */
const outlivesCircuit = ({ rules }: Problem, { underWay, circuitBefore }: MachineState): boolean =>
  underWay?.kind === 'fill' &&
  circuitBefore !== null &&
  underWay.earliestEnd > circuitBefore.since + rules.circuitLife;

/**
 * When the bags that have come off, or have to come off now, keep the machine and a technician: the rest of a swap, or
 * the first minutes at which somebody is there.
 */
function takeOff(
  problem: Problem,
  { underWay, swapUntil }: MachineState,
  stopped: boolean,
  staff: Int16Array,
): Span | null {
  const { rules, now } = problem;
  if (underWay?.kind !== 'fill' || !stopped) return swapUntil === null ? null : { from: now, to: swapUntil };
  let from = now;
  while (staff[from]! < rules.hands.swap) from += 1;
  return { from, to: from + rules.swapMinutes };
}

/** A machine's hours and circuit from now on. @param free from when on it can do something new */
function machineFrom(
  { now, baths }: Problem,
  machine: Machine,
  state: MachineState & { readonly stopped: boolean; readonly free: number },
): Machine {
  const { outages, circuitBefore, underWay, outOfLimits, stopped, free } = state;
  const closed = [
    ...(free > now ? [{ from: Number.NEGATIVE_INFINITY, until: free }] : []),
    ...outages.map(({ from, until }) => ({ from, until: until ?? Number.POSITIVE_INFINITY })),
  ];
  const bath = circuitBefore ? baths.indexOf(circuitBefore.bath) : -1;
  const setUp = underWay !== null && underWay.kind !== 'fill';
  // A set-up that was cut off leaves nobody knows what; a machine out of limits needs a new one.
  const unknown = setUp ? stopped : outOfLimits !== null;
  // Hours keep what is under way on the machine: it began before now.
  const begun = underWay && !stopped ? Math.min(underWay.start, now) : now;
  return {
    ...machine,
    windows: closed.reduce<Machine['windows']>(
      (left, { from, until }) => withoutHours(left, from, until),
      machine.windows
        .map(({ from, to }) => ({ from: Math.max(from, begun), to }))
        .filter(({ from, to }) => to > from),
    ),
    loaded: bath < 0 || unknown ? null : { bath, since: circuitBefore!.since },
  };
}

const withoutHours = (windows: Machine['windows'], from: number, until: number): Machine['windows'] =>
  windows.flatMap((window) =>
    until <= window.from || from >= window.to
      ? [window]
      : [
          ...(from > window.from ? [{ from: window.from, to: from }] : []),
          ...(until < window.to ? [{ from: until, to: window.to }] : []),
        ],
  );

/** What has begun and goes on. What is doubtful, or on a machine out of service, is stopped and not among it. */
function underWayOf({ machines, now }: State, stopped: ReadonlySet<string>): Activity[] {
  return machines.flatMap((machine): Activity[] => {
    const { id, underWay } = machine;
    if (!underWay || stopped.has(id)) return [];
    const { kind, start, bath, earliestEnd } = underWay;
    return [
      {
        kind,
        machine: id,
        bath: bath!,
        start,
        end: Math.max(earliestEnd, now),
      },
    ];
  });
}

/** Shifts with those who are there: what was noted counts from its minute to the shift's end. */
function shiftsFrom({ clock, shifts }: Problem, { staff }: State): ShiftBand[] {
  return shifts.flatMap((band) => {
    const date = clock.localOf(band.from).slice(0, 10);
    const parts = [band];
    for (const change of staff) {
      const last = parts.at(-1)!;
      if (change.shift !== band.shift || change.date !== date || change.at >= band.to) continue;
      const at = Math.max(change.at, band.from);
      parts.pop();
      if (at > last.from) parts.push({ ...last, to: at });
      parts.push({ ...last, from: at, technicians: change.technicians });
    }
    return parts;
  });
}

function staffOf({ horizon }: Problem, shifts: readonly ShiftBand[]): Int16Array {
  const staff = new Int16Array(horizon);
  for (const { from, to, technicians } of shifts)
    for (let t = Math.max(0, from); t < Math.min(horizon, to); t++) staff[t]! += technicians;
  return staff;
}

/** Bags that may serve: those on hold, expired or not there are left out. */
function lotsFrom(problem: Problem, state: State): Lot[] {
  return state.lots.flatMap((lot): Lot[] => {
    const bath = problem.baths.indexOf(lot.bath!);
    if (lot.good <= 0 || bath < 0 || (lot.expires ?? state.now + 1) <= state.now) return [];
    return [
      {
        id: lot.lot,
        origin: lot.origin,
        bath,
        bags: lot.good,
        bagParts: Math.round(lot.litres * problem.partsPerLitre),
        ready: lot.ready ?? awaited(problem, state, lot.fill),
        expires: lot.expires ?? Number.POSITIVE_INFINITY,
      },
    ];
  });
}

/**
 * When bags that wait for somebody to release them, or for a test, may be expected to leave: never at once. Not filled here:
 * of a delivery that was counted, and whose arrival nobody noted.
 */
function awaited(problem: Problem, state: State, fill: LotState['fill']): number {
  const { rules, machines, water } = problem;
  const ended = fill?.end ?? state.now;
  const soonest = Math.max(state.now + 1, ended + rules.swapMinutes + rules.releaseMinutes);
  if (!fill || !rules.releaseAfterTest) return soonest;
  const machine = machines.find(({ id }) => id === fill.machine)!;
  const { testEvery, testMinutes } = water[machine.water]!;
  const { lastEnd } = state.water[machine.water]!;
  return Math.max(soonest, state.now + testMinutes, (lastEnd ?? state.now) + testEvery);
}

interface Then {
  readonly state: State;
  readonly stopped: ReadonlySet<string>;
}

/** What is on hand now: at the start and delivered since, less what the record says was used. */
function supplyFrom(problem: Problem, supply: Supply, then: Then): Supply {
  const { state } = then;
  const delivered = supply.deliveries.filter(({ at }) => at <= state.now);
  const there = delivered.reduce((sum, { quantity }) => sum + quantity, supply.onHand);
  return {
    ...supply,
    onHand: Math.max(0, there - usedOf(problem, supply, then)),
    deliveries: supply.deliveries.filter(({ at }) => at > state.now),
  };
}

/** In the supply's own units: circuits set up, fills begun, and the minutes that dialysate ran. What goes on is the plan's. */
function usedOf(problem: Problem, supply: Supply, { state, stopped }: Then): number {
  const number = new Map(problem.machines.map(({ id }, index) => [id, index]));
  const uses = (bath: string | null) => supply.bath === null || problem.baths[supply.bath] === bath;
  const perMinute = (machine: string, bath: string | null) =>
    uses(bath) ? supply.perMinute[number.get(machine)!]! : 0;
  let used = 0;
  for (const { machine, bath, began, at, circuit, entry } of state.setUps) {
    if (circuit === entry && uses(bath)) used += supply.perCircuit;
    used += perMinute(machine, bath) * Math.max(0, at - began);
  }
  const fills = state.lots.flatMap(({ fill, bath }) =>
    fill ? { machine: fill.machine, bath, start: fill.start, end: fill.end! } : [],
  );
  for (const { id, underWay } of state.machines)
    if (underWay?.kind === 'fill' && stopped.has(id))
      fills.push({ machine: id, bath: underWay.bath, start: underWay.start, end: state.now });
  for (const { machine, start, end, bath } of fills) {
    if (uses(bath)) used += supply.perFill;
    used += perMinute(machine, bath) * (end - start);
  }
  return used;
}

/** Occurrences that are still to be done: not those noted as done, nor those whose time is over. */
function dutyFrom(duty: Duty, { duties, now }: State): Duty {
  return { ...duty, at: unnotedOf(duty, duties).filter((at) => at + duty.slack >= now) };
}
