import type { Demand } from '../../demand/demand.ts';
import { MINUTES_A_DAY, type Problem } from '../../scenario/problem/types.ts';
import {
  earliestEnds,
  mostByCircuits,
  mostFills,
  mostFillsFrom,
  mostOnCircuit,
  type Reach,
  reachOf,
  runnableMinutes,
} from './reach.ts';

/** Machines that differ at most in their windows and in what is loaded: they are counted, not named. */
export interface Kind {
  readonly machines: readonly number[];
  readonly flow: number;
  readonly positions: number;
  readonly baths: readonly number[];
  readonly water: number;
  readonly shortest: number;
  /** Shortest fill and swap, min. */
  readonly cycle: number;
}

/** Who wants bags of a bath: a round, or the reserve (`round` null). */
export interface Sink {
  readonly bath: number;
  readonly round: number | null;
  readonly bags: number;
  /** A lot must be ready by this minute ... */
  readonly by: number;
  /** ... and not expire before this one. */
  readonly until: number;
  /** A fill must end by this minute ... */
  readonly lastEnd: number;
  /** ... and after this one. */
  readonly endAfter: number;
}

/** Minutes from..to-1. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** The horizon cut into buckets (cuts[t-1], cuts[t]], t from 1; cuts[0] is 0. Arrays by bucket have an entry 0 that is unused. */
export interface Buckets {
  readonly cuts: readonly number[];
  readonly kinds: readonly Kind[];
  readonly sinks: readonly Sink[];
  /** Reach of each machine, by its index; null: it can never fill. */
  readonly reach: readonly (Reach | null)[];
  /** Minutes of each bucket in which a source could be under a test with something to do for some machine, [source][t]. */
  readonly runnable: readonly (readonly number[])[];
  /** Stretches of minutes without a break of which `runnable` is the sum, by source. */
  readonly runs: readonly (readonly Stretch[])[];
  /** Longest time without a break that a source could be under tests, min, by source. */
  readonly longestRun: readonly number[];
  /** Last minute of each bucket at which a test of a source could end; minus infinity: none could. [source][t] */
  readonly lastTest: readonly (readonly number[])[];
  /** Technician minutes, [t]. */
  readonly staff: readonly number[];
  readonly ends: Ends;
}

/** Earliest ends of each machine's first, second ... fill, by machine number. */
interface Ends {
  /** [machine][n] */
  readonly alone: readonly (readonly number[])[];
  /** The same when its first circuit is the kth of all to be put in, [machine][k][n]; empty: it has one at the start. */
  readonly inTurn: readonly (readonly (readonly number[])[])[];
}

/** All that is wanted of bags, by bath, the reserve after the rounds. */
export function sinksOf(problem: Problem, demand: Demand): Sink[] {
  const { rules, horizon, rounds, reserve } = problem;
  const sink = (bath: number, round: number | null, bags: number, by: number, until: number): Sink => ({
    bath,
    round,
    bags,
    by,
    until,
    lastEnd: by - rules.swapMinutes - rules.releaseMinutes,
    endAfter: until - rules.shelf - 1,
  });
  return problem.baths
    .flatMap((_, bath) => [
      ...rounds.map(({ index, at, to }) => sink(bath, index, demand.bags[bath]![index]!, at, to)),
      sink(bath, null, reserve[bath]!, horizon, horizon + MINUTES_A_DAY),
    ])
    .filter(({ bags }) => bags > 0);
}

/**
 * The minutes at which a fill of some of the baths could end that serves somebody. A plan without its other fills is valid,
 * leaves no more unmet and takes fewer hands: so no bound need count them.
 */
function wantedEnds(
  { horizon }: Problem,
  sinks: readonly Sink[],
  baths: readonly number[],
): Uint8Array<ArrayBuffer> {
  const wanted = new Uint8Array(horizon + 1);
  for (const { bath, endAfter, lastEnd } of sinks)
    if (baths.includes(bath)) wanted.fill(1, Math.max(0, endAfter + 1), Math.max(0, lastEnd + 1));
  return wanted;
}

/** Whether a fill of a bath that ends at a minute could serve some round, [bath][0..horizon]. */
export function wantedByBath(problem: Problem, demand: Demand): Uint8Array[] {
  const sinks = sinksOf(problem, demand).filter(({ round }) => round !== null);
  return problem.baths.map((_, bath) => wantedEnds(problem, sinks, [bath]));
}

/** Shortest distance of two cuts when the second one only sharpens, min. */
const APART = 120;

/** Buckets of all kinds together: in a larger model the solver's time is better spent than on sharper cuts. */
const MOST_BUCKETS = 700;

/** Deliveries of what could have been used up by then, each with the minutes that what it is used for takes at least. */
function awaited({ supplies, rules }: Problem, kinds: readonly Kind[]): [at: number, lead: number][] {
  return supplies.flatMap(({ onHand, deliveries, perCircuit, perFill, perMinute, bath }) => {
    const users = kinds.filter(({ baths }) => bath === null || baths.includes(bath));
    const usedBy = (at: number) =>
      users.reduce((sum, { machines, shortest, cycle }) => {
        const each =
          perCircuit * (at / rules.circuitLife + 1) +
          (perFill + perMinute[machines[0]!]! * shortest) * (at / cycle + 1);
        return sum + machines.length * each;
      }, 0);
    let there = onHand;
    return [...deliveries]
      .sort((a, b) => a.at - b.at)
      .flatMap(({ at, quantity }) => {
        const scarce = there < usedBy(at);
        there += quantity;
        const leads = new Set([
          ...(perCircuit > 0 ? [rules.circuitMinutes] : []),
          ...(perCircuit > 0 && perFill === 0 ? [] : users.map(({ shortest }) => shortest)),
        ]);
        return scarce ? [...leads].sort((a, b) => a - b).map((lead): [number, number] => [at, lead]) : [];
      });
  });
}

function cutsOf(problem: Problem, sinks: readonly Sink[], kinds: readonly Kind[]): number[] {
  const { horizon, staff, rules } = problem;
  const cuts = new Set([0]);
  for (const { lastEnd } of sinks) if (lastEnd > 0) cuts.add(Math.min(lastEnd, horizon));
  const last = Math.max(...cuts);
  const sharpen = (at: number, apart = APART) => {
    if (cuts.size * kinds.length >= MOST_BUCKETS) return;
    if (at > 0 && at < last && [...cuts].every((cut) => Math.abs(cut - at) >= apart)) cuts.add(at);
  };
  // What has ended by then had begun before a supply came.
  for (const [at, lead] of awaited(problem, kinds)) sharpen(at + lead - 1, lead / 2);
  // Where bags do not last from cut to cut, what is filled too early must not count.
  for (const { endAfter } of sinks) sharpen(endAfter);
  // Where few technicians cannot keep up with the machines, their minutes must not be mixed with a fuller shift's.
  const wanted =
    kinds.reduce((sum, { machines, cycle }) => sum + machines.length / cycle, 0) * rules.swapMinutes;
  for (let t = 1; t < last; t++)
    if (staff[t] !== staff[t - 1] && Math.min(staff[t]!, staff[t - 1]!) < 1.5 * wanted) sharpen(t);
  return [...cuts].sort((a, b) => a - b);
}

function lastTests(cuts: readonly number[], staff: Problem['staff'], testMinutes: number): number[] {
  const last = cuts.map(() => Number.NEGATIVE_INFINITY);
  let staffedFor = 0;
  let t = 1;
  for (let end = 1; end <= cuts.at(-1)!; end++) {
    if (end > cuts[t]!) t += 1;
    staffedFor = staff[end - 1]! > 0 ? staffedFor + 1 : 0;
    if (staffedFor >= testMinutes) last[t] = end;
  }
  return last;
}

function runsIn(minutes: Uint8Array): Stretch[] {
  const runs: Stretch[] = [];
  for (let t = 0; t < minutes.length; t++) {
    if (minutes[t] === 0) continue;
    const from = t;
    while (minutes[t + 1] === 1) t += 1;
    runs.push({ from, to: t + 1 });
  }
  return runs;
}

/** For each number of new circuits the first minute by which those on shift could have done that many. */
function circuitsDone(
  { machines, staff, horizon, rules }: Problem,
  runnable: readonly Uint8Array[],
): number[] {
  const done: number[] = [];
  let began = -1;
  let minutes = 0;
  let most = 0;
  for (let t = 0; t < horizon && done.length < machines.length; t++) {
    if (staff[t] === 0 || (began < 0 && runnable.every((source) => source[t] === 0))) continue;
    if (began < 0) began = t;
    minutes += staff[t]!;
    most = Math.max(most, staff[t]!);
    const inTurn = most * Math.floor((t + 1 - began) / rules.circuitMinutes);
    while (done.length < Math.min(inTurn, Math.floor(minutes / rules.circuitMinutes))) done.push(t + 1);
  }
  while (done.length < machines.length) done.push(horizon + 1);
  return done;
}

function endsOf(problem: Problem, reach: Buckets['reach'], nthCircuit: readonly number[]): Ends {
  const { rules, horizon, machines } = problem;
  const known = new Map<Reach, { alone: number[]; inTurn: number[][]; onCircuit: number }>();
  const rows = machines.map(({ loaded }, index) => {
    const own = reach[index];
    if (!own) return { alone: [], inTurn: [] };
    let bare = known.get(own);
    if (!bare) {
      const onCircuit = mostOnCircuit(problem, own, 0, horizon);
      const from = (start: number) => earliestEnds(problem, own, onCircuit, start, Number.NEGATIVE_INFINITY);
      bare = { onCircuit, alone: from(0), inTurn: nthCircuit.map(from) };
      known.set(own, bare);
    }
    const lastEnd = (loaded?.since ?? Number.NEGATIVE_INFINITY) + rules.circuitLife;
    if (lastEnd <= 0) return bare;
    return {
      alone: earliestEnds(problem, own, bare.onCircuit, 0, lastEnd - rules.swapMinutes),
      inTurn: [],
    };
  });
  return { alone: rows.map((row) => row.alone), inTurn: rows.map((row) => row.inTurn) };
}

/** More of them than this make the model slow for little. */
const MOST_KINDS = 6;

/** @param apart machines with different windows are of different kinds: the model then knows which of them runs */
function kindsOf({ machines, rules }: Problem, reach: Buckets['reach'], apart: boolean): Kind[] {
  const groups = new Map<string, Kind & { machines: number[] }>();
  machines.forEach(({ flow, positions, baths, water, shortest, windows }, index) => {
    if (!reach[index]) return;
    const sorted = [...baths].sort((a, b) => a - b);
    const key = JSON.stringify([flow, positions, sorted, water, apart && windows]);
    const kind = groups.get(key);
    if (kind) kind.machines.push(index);
    else {
      const cycle = shortest + rules.swapMinutes;
      groups.set(key, { machines: [index], flow, positions, baths, water, shortest, cycle });
    }
  });
  return [...groups.values()];
}

/** Cuts the horizon where bags fall due, where staff changes while it is short, and where bags would expire. */
export function bucketsOf(problem: Problem, demand: Demand): Buckets {
  const { machines, water, staff } = problem;
  const runnableAt = water.map((_, source) => runnableMinutes(problem, source));
  const sinks = sinksOf(problem, demand);
  const known = new Map<string, Reach>();
  const reach = machines.map((machine) => {
    const { windows, shortest, longest, water: source, baths } = machine;
    if (shortest > longest) return null;
    const sorted = [...baths].sort((a, b) => a - b);
    const key = JSON.stringify([windows, shortest, longest, source, sorted]);
    const found =
      known.get(key) ?? reachOf(problem, machine, runnableAt[source]!, wantedEnds(problem, sinks, baths));
    known.set(key, found);
    return found;
  });
  const apart = kindsOf(problem, reach, true);
  const kinds = apart.length <= MOST_KINDS ? apart : kindsOf(problem, reach, false);
  const cuts = cutsOf(problem, sinks, kinds);
  const usedAt = runnableAt.map((minutes, source) => {
    const all = machines.flatMap((machine, m) => (machine.water === source ? (reach[m] ?? []) : []));
    const own = [...new Set(all)];
    const used = (t: number) => own.some(({ usable }) => usable[t + 1]! > usable[t]!);
    return minutes.map((runs, t) => Number(runs === 1 && used(t)));
  });
  const sumIn = (values: ArrayLike<number>) =>
    cuts.map((to, t) => {
      let sum = 0;
      for (let minute = cuts[t - 1] ?? 0; minute < to; minute++) sum += values[minute]!;
      return sum;
    });
  return {
    cuts,
    kinds,
    sinks,
    reach,
    runnable: usedAt.map(sumIn),
    runs: usedAt.map(runsIn),
    longestRun: runnableAt.map((minutes) => Math.max(0, ...runsIn(minutes).map(({ from, to }) => to - from))),
    lastTest: water.map(({ testMinutes }) => lastTests(cuts, staff, testMinutes)),
    staff: sumIn(staff),
    ends: endsOf(problem, reach, circuitsDone(problem, runnableAt)),
  };
}

/** Whether bags of a lot could hang in what a sink covers. */
export const lotServes = ({ ready, expires }: Problem['lots'][number], { by, until }: Sink): boolean =>
  ready <= by && expires >= until;

/** What machines of a kind could do at best: those with the same windows share it. */
export const reachesOf = ({ reach }: Buckets, { machines }: Kind): Reach[] => [
  ...new Set(machines.map((m) => reach[m]!)),
];

/** Whether some fill that ends in a bucket could serve a sink: it may be that nobody is on shift when it would have to end. */
export function canServe(buckets: Buckets, t: number, { bath, lastEnd, endAfter }: Sink): boolean {
  const to = buckets.cuts[t]!;
  const from = Math.max(buckets.cuts[t - 1]!, endAfter) + 1;
  if (to > lastEnd || from > to) return false;
  const able = buckets.kinds.filter(({ baths }) => baths.includes(bath));
  return able.some((kind) => reachesOf(buckets, kind).some(({ someEnd }) => someEnd[from]! <= to));
}

/** Most fills that a kind's machines could end in buckets from+1..to, each machine alone in the world. */
export function mostOfKind(
  { rules }: Problem,
  buckets: Buckets,
  kind: Kind,
  from: number,
  to: number,
): number {
  const { cuts, reach } = buckets;
  const until = cuts[to]!;
  const all = (list: readonly number[]) => list.reduce((a, b) => a + b, 0);
  if (from > 0)
    return all(kind.machines.map((m) => mostFills(reach[m]!, cuts[from]!, until, rules.swapMinutes)));
  const by = (ends: readonly number[]) => ends.filter((end) => end <= until).length;
  const { alone, inTurn } = buckets.ends;
  const bare = kind.machines.filter((m) => inTurn[m]!.length > 0);
  const loaded = kind.machines.filter((m) => inTurn[m]!.length === 0);
  // Circuits are put in one after the other: the nth bare machine begins no earlier than the nth circuit can be done.
  const turns = bare.map((_, n) => Math.max(...bare.map((m) => by(inTurn[m]![n]!))));
  return all(loaded.map((m) => by(alone[m]!))) + Math.min(all(bare.map((m) => by(alone[m]!))), all(turns));
}

/** Most fills on the circuit that a machine has at the start, and the last minute at which one can end. */
export function onLoaded(
  { machines, rules, horizon }: Problem,
  { reach }: Buckets,
  index: number,
): { most: number; lastEnd: number } {
  const lastEnd =
    (machines[index]!.loaded?.since ?? Number.NEGATIVE_INFINITY) + rules.circuitLife - rules.swapMinutes;
  return { most: mostFillsFrom(reach[index]!, 0, Math.min(lastEnd, horizon), rules.swapMinutes), lastEnd };
}

/**
 * Most fills that a machine alone could end in buckets from+1..to, told to `to`, with 0, 1, 2 ... circuits done in them
 * (see `mostByCircuits`).
 */
export function mostOnLine(
  problem: Problem,
  buckets: Buckets,
  index: number,
  from: number,
): (to: number) => number[] {
  const own = buckets.reach[index]!;
  const after = buckets.cuts[from]!;
  const loaded = onLoaded(problem, buckets, index);
  // Done when? Of all that may be there, the one that bears most.
  const onOld = from === 0 ? 0 : Math.max(loaded.most, mostOnCircuit(problem, own, 0, after));
  return (to) => {
    const until = buckets.cuts[to]!;
    const onNew = mostOnCircuit(problem, own, after, until);
    return mostByCircuits(problem, own, { onOld, onNew, after, until, lastEnd: loaded.lastEnd });
  };
}
