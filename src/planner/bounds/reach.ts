import type { Machine, Problem } from '../../scenario/problem/types.ts';
import { circuitEndsBy, shutMinutes, waterLeft } from './floor.ts';

/**
 * What one machine could do at best if it had every technician on shift, all the water and every test to itself.
 * Minutes from the start; a machine "idle from t" may start something at t.
 */
export interface Reach {
  /** Earliest end of a fill for a machine idle from t (circuit in place); horizon + 1 when there is none. [t] */
  readonly nextEnd: Int32Array;
  /** Earliest minute from t on at which some fill could end. [t] */
  readonly someEnd: Int32Array;
  /** Earliest minute from t on at which a new circuit could be done. [t] */
  readonly nextCircuit: Int32Array;
  /** Earliest minute from t on at which a change of bath could be done. [t] */
  readonly nextChange: Int32Array;
  /** How many of the minutes before t can serve a fill, a swap or a set-up. [t] */
  readonly usable: Int32Array;
  /** Latest minute at which a circuit in place at t is ended by a duty, see `circuitEndsBy`. [t] */
  readonly endsBy: Int32Array;
}

/** Whether a test could serve each minute, [minute]: one that ended in time with enough on shift, or the last one before the start. */
export function runnableMinutes(problem: Problem, source: number): Uint8Array {
  const { horizon, staff, rules } = problem;
  const shut = shutMinutes(problem, source);
  const { testEvery, testMinutes, lastTest } = problem.water[source]!;
  const runnable = new Uint8Array(horizon);
  let latest = lastTest ?? Number.NEGATIVE_INFINITY;
  let staffedFor = 0;
  for (let t = 0; t < horizon; t++) {
    if (staffedFor >= testMinutes) latest = t;
    if (latest + testEvery >= t || t < problem.now) runnable[t] = 1;
    staffedFor = staff[t]! >= rules.hands.test && shut[t] === 0 ? staffedFor + 1 : 0;
  }
  return runnable;
}

/** How many minutes from each on, without a break, are good. */
function streak(length: number, good: (t: number) => boolean): Int32Array {
  const run = new Int32Array(length + 1);
  for (let t = length - 1; t >= 0; t--) run[t] = good(t) ? run[t + 1]! + 1 : 0;
  return run;
}

/**
 * @param runnable minutes that a test could serve, of the machine's source
 * @param wanted whether what ends at a minute could serve anybody, [0..horizon]; other fills are not counted. Default: all
 */
export function reachOf(
  problem: Problem,
  machine: Machine,
  runnable: Uint8Array,
  wanted = new Uint8Array(problem.horizon + 1).fill(1),
): Reach {
  const { horizon, staff } = problem;
  const { swapMinutes, circuitMinutes, bathMinutes, fillStartMinutes, hands } = problem.rules;
  const { shortest, longest, flow } = machine;
  const inWindow = new Int32Array(horizon + 1);
  for (const { from, to } of machine.windows)
    for (let t = from; t < to; t++) inWindow[t] = Math.max(inWindow[t]!, to - t);
  const water = waterLeft(problem, machine.water);
  const run = streak(horizon, (t) => runnable[t] === 1 && (flow <= water[t]! + 1e-9 || t < problem.now));
  const staffed = (technicians: number) => streak(horizon, (t) => staff[t]! >= technicians);
  const swappers = staffed(hands.swap);
  const starters = staffed(1);
  const settingUp = { circuit: staffed(hands.circuit), bath: staffed(hands.bath) };
  const late = horizon + 1;
  const swapAt = new Int32Array(horizon + 2).fill(late);
  for (let t = horizon - 1; t >= 0; t--)
    swapAt[t] = Math.min(swappers[t]!, inWindow[t]!) >= swapMinutes ? t : swapAt[t + 1]!;

  const nextEnd = new Int32Array(horizon + 2).fill(late);
  const ends = new Uint8Array(horizon + 1);
  const used = new Uint8Array(horizon);
  for (let t = horizon - 1; t >= 0; t--) {
    nextEnd[t] = nextEnd[t + 1]!;
    const last = t + Math.min(longest, inWindow[t]!, run[t]!);
    if (starters[t]! < Math.max(1, fillStartMinutes) || t + shortest > last) continue;
    for (let e = swapAt[t + shortest]!; e <= last; e = swapAt[e + 1]!) {
      if (wanted[e] === 0 || e < problem.now) continue;
      nextEnd[t] = Math.min(nextEnd[t]!, e);
      if (ends[e] === 0) used.fill(1, e - shortest, e + swapMinutes);
      ends[e] = 1;
    }
  }
  const circuitEnd = new Uint8Array(horizon + 1);
  const changeEnd = new Uint8Array(horizon + 1);
  for (let t = 0; t < horizon; t++) {
    const free = Math.min(run[t]!, inWindow[t]!);
    const able = { circuit: Math.min(settingUp.circuit[t]!, free), bath: Math.min(settingUp.bath[t]!, free) };
    if (able.circuit > 0 || able.bath > 0) used[t] = 1;
    if (able.circuit >= circuitMinutes && t + circuitMinutes >= problem.now)
      circuitEnd[t + circuitMinutes] = 1;
    if (able.bath >= bathMinutes && t + bathMinutes >= problem.now) changeEnd[t + bathMinutes] = 1;
  }
  const usable = new Int32Array(horizon + 1);
  for (let t = 0; t < horizon; t++) usable[t + 1] = usable[t]! + used[t]!;
  const nextOf = (ends: Uint8Array) => {
    const next = new Int32Array(horizon + 2).fill(late);
    for (let t = horizon; t >= 0; t--) next[t] = ends[t] === 1 ? t : next[t + 1]!;
    return next;
  };
  return {
    nextEnd,
    someEnd: nextOf(ends),
    nextCircuit: nextOf(circuitEnd),
    nextChange: nextOf(changeEnd),
    usable,
    endsBy: circuitEndsBy(problem, problem.machines.indexOf(machine)),
  };
}

/** Latest minute up to `by` at which something could be done, of which `next` tells the earliest from a minute on; below 0: none. */
export function latestOf(next: Int32Array, by: number): number {
  let at = by;
  while (at >= 0 && next[at] !== at) at -= 1;
  return at;
}

/**
 * How many minutes of a fill, swap or set-up under way at a minute can lie before it and after it: where nobody is on
 * shift, no test serves or the window ends, none.
 */
export function underWay({ usable }: Reach, at: number, most: number): { before: number; after: number } {
  const last = usable.length - 1;
  let before = 0;
  let after = 0;
  while (before < most && at - before > 0 && usable[at - before]! > usable[at - before - 1]!) before += 1;
  while (after < most && at + after < last && usable[at + after + 1]! > usable[at + after]!) after += 1;
  return { before: after > 0 ? before : 0, after };
}

/** Most fills of one machine whose ends lie in from+1..to, whatever it did before. */
export function mostFills(
  { nextEnd, someEnd }: Reach,
  from: number,
  to: number,
  swapMinutes: number,
): number {
  let count = 0;
  for (let end = someEnd[from + 1]!; end <= to; end = nextEnd[end + swapMinutes]!) count += 1;
  return count;
}

/** Most fills of one machine idle from a minute on, the last one ending at `to` or before. */
export function mostFillsFrom({ nextEnd }: Reach, idle: number, to: number, swapMinutes: number): number {
  let count = 0;
  for (let end = nextEnd[idle]!; end <= to; end = nextEnd[end + swapMinutes]!) count += 1;
  return count;
}

/** Most fills on one new circuit that is done in from+1..to. */
export function mostOnCircuit(problem: Problem, own: Reach, from: number, to: number): number {
  const { circuitMinutes } = problem.rules;
  return mostAfter(problem, own, [from, to], { next: own.nextCircuit, minutes: circuitMinutes });
}

/** Most fills after one change of bath that is done in from+1..to: its circuit is no younger than the change. */
export function mostAfterChange(problem: Problem, own: Reach, from: number, to: number): number {
  const { bathMinutes } = problem.rules;
  return mostAfter(problem, own, [from, to], { next: own.nextChange, minutes: bathMinutes });
}

function mostAfter(
  { rules, horizon }: Problem,
  own: Reach,
  [from, to]: readonly [number, number],
  { next, minutes }: { readonly next: Int32Array; readonly minutes: number },
): number {
  let most = 0;
  for (let done = next[from + 1]!; done <= to; done = next[done + 1]!) {
    const lastEnd = Math.min(done - minutes + rules.circuitLife, own.endsBy[done]!) - rules.swapMinutes;
    most = Math.max(most, mostFillsFrom(own, done, Math.min(lastEnd, horizon), rules.swapMinutes));
  }
  return most;
}

/** What earliest ends depend on besides the machine's reach. */
export interface Circuits {
  /** Most fills on one new circuit. */
  readonly onCircuit: number;
  /** The first new circuit is done no earlier than this. */
  readonly start: number;
  /** Last possible end of a fill on the circuit that is loaded at the start; minus infinity: none is. */
  readonly lastEnd: number;
}

/**
 * Earliest ends of the first, second ... fill of one machine, which takes a new circuit at the latest when the old one
 * can bear no more.
 */
export function earliestEnds(
  { rules, horizon }: Problem,
  { nextEnd, nextCircuit }: Reach,
  { onCircuit, start, lastEnd }: Circuits,
): number[] {
  const ends: number[] = [];
  const fills = (before: number, idle: number, most: number, until: number) => {
    let end = nextEnd[idle]!;
    for (let n = before; n < before + most && end <= until; n++) {
      ends[n] = Math.min(ends[n] ?? horizon, end);
      end = nextEnd[end + rules.swapMinutes]!;
    }
  };
  fills(0, 0, Number.POSITIVE_INFINITY, Math.min(lastEnd, horizon));
  for (let n = 0; n <= ends.length; n++) {
    const idle = n === 0 ? 0 : ends[n - 1]! + rules.swapMinutes;
    const done = nextCircuit[Math.min(horizon + 1, Math.max(start, idle + rules.circuitMinutes))]!;
    if (done <= horizon) fills(n, done, onCircuit, horizon);
  }
  return ends;
}

/** A time in the life of one machine, and what its circuits bear in it. */
interface Spell {
  /** Minutes: what ends in after+1..until; from the start: after 0. */
  readonly after: number;
  readonly until: number;
  /** Most fills on a circuit done in that time. */
  readonly onNew: number;
  /** After the start: most fills on the circuit there then. */
  readonly onOld: number;
  /** From the start: last possible end of a fill on the circuit loaded then; minus infinity: none is. */
  readonly lastEnd: number;
}

/**
 * Most fills of one machine that could end in a spell with 0, 1, 2 ... circuits done in it, up to the number from which on
 * more of them bear no more: a spell that more circuits were of use to would have had one fewer filled up first.
 */
export function mostByCircuits(
  { rules, horizon }: Problem,
  { nextEnd, someEnd, nextCircuit }: Reach,
  { after, until, onNew, onOld, lastEnd }: Spell,
): number[] {
  const { swapMinutes, circuitMinutes } = rules;
  /** Fills one after the other from number `from` up to number `upTo`, the first one ending at `first`. */
  const fills = (into: number[], first: number, last: number, [from, upTo]: readonly [number, number]) => {
    let end = first;
    for (let n = from; n <= upTo && end <= last; n++) {
      into[n] = Math.min(into[n] ?? horizon, end);
      end = nextEnd[end + swapMinutes]!;
    }
  };
  /** Earliest end of the nth fill, with the circuits so far. */
  let ends: number[] = [];
  if (after === 0) fills(ends, nextEnd[0]!, Math.min(lastEnd, until), [1, horizon]);
  else fills(ends, someEnd[after + 1]!, until, [1, onOld]);
  const most = [Math.max(0, ends.length - 1)];
  for (;;) {
    const next: number[] = [];
    const renewed = (n: number, idle: number) => {
      const done = nextCircuit[Math.min(horizon + 1, idle + circuitMinutes)]!;
      if (done <= until) fills(next, nextEnd[done]!, until, [n + 1, n + onNew]);
    };
    // The first one may have been under way.
    if (most.length === 1) renewed(0, after === 0 ? 0 : after + 1 - circuitMinutes);
    ends.forEach((end, n) => {
      renewed(n, end + swapMinutes);
    });
    const best = next.length - 1;
    if (best <= most.at(-1)!) return most;
    most.push(best);
    ends = next;
  }
}
