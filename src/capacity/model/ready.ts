import type { Machine, Problem } from '../../scenario/problem/types.ts';
import type { Draw } from '../draws/draw.ts';
import {
  countFills,
  cutWindows,
  emptyWork,
  machinesFor,
  type Pace,
  usableFlow,
  type Work,
} from './calendar.ts';

/**
 * What a plan to the minute can use of what is there, fitted to full plans (`agreement.ts`).
 * `machines`, `water`: shares of machine minutes and of flow minutes when nothing else is in the way.
 * `crowd`: technicians' minutes lost each minute, if full bags could not wait at all (`crowdOf`): swaps must fall into
 * the windows of fills, and a technician at work on one machine cannot come to another; others cover.
 * `queue`: machine minutes lost to waiting for a technician, as a share of what they were if nobody planned ahead. In
 *   one full week letting swaps and tests give way (`giveWay.ts`) left about 440 of 720.
 * `changes`: bath changes a round for each bath beyond the first.
 */
export const USABLE = { machines: 0.98, water: 0.96, crowd: 0.65, queue: 0.6, changes: 1 };

/** Why there are no more bags: indices into CAUSES (`fastModel.ts`). */
export const TECHNICIANS = 2;
export const WATER = 3;
export const MACHINES = 4;

/** The bags that machines can have ready for each round, whatever bath they run. */
export interface Ready {
  readonly machines: readonly Machine[];
  /** Baths that the machines of each kind can run. */
  readonly kinds: readonly (readonly number[])[];
  readonly kindOf: readonly number[];
  /** Minute by which a swap must have ended to serve the round. */
  readonly deadlines: readonly number[];
  /** Fills that a circuit serves while somebody is there. */
  readonly perCircuit: readonly number[];
  /** Fills for each round, by machine, if nothing but its own hours holds it up. */
  readonly fills: readonly Uint16Array[];
  /** Bags, [kind x rounds + round]. */
  readonly bags: Float64Array;
  /** What holds them down, [round]. */
  readonly held: Uint8Array;
  /** Takes up a draw. @param wantedBaths number of baths that each round wants made */
  begin(draw: Draw, wantedBaths: Uint8Array): void;
  /** Lets one machine more run; in order of the list. */
  add(m: number): void;
  /** Works out `bags` and `held` for the first `count` machines, all of them added. */
  limit(count: number): void;
}

interface Segment {
  readonly from: number;
  readonly to: number;
  /** Round whose deadline the swaps of these minutes meet. */
  readonly round: number;
  readonly staff: number;
  readonly bands: readonly number[];
}

/** Stretches of minutes of one staffing and one round. */
function segmentsOf(problem: Problem, deadlines: readonly number[]): Segment[] {
  const { shifts, horizon } = problem;
  const cuts = new Set([0, horizon]);
  for (const { from, to } of shifts) for (const at of [from, to]) if (at > 0 && at < horizon) cuts.add(at);
  for (const at of deadlines) if (at > 0 && at < horizon) cuts.add(at);
  const sorted = [...cuts].sort((a, b) => a - b);
  return sorted.slice(0, -1).map((from, index) => {
    const bands = shifts.flatMap((band, n) => (band.from <= from && band.to > from ? [n] : []));
    const round = deadlines.findIndex((deadline, n) => n > 0 && deadline > from);
    const staff = bands.reduce((sum, band) => sum + shifts[band]!.technicians, 0);
    return { from, to: sorted[index + 1]!, round, staff, bands };
  });
}

function openOf(segments: readonly Segment[], staff: ArrayLike<number>): number[] {
  const open: number[] = [];
  segments.forEach(({ from, to }, n) => {
    if (staff[n]! <= 0) return;
    if (open.at(-1) === from) open[open.length - 1] = to;
    else open.push(from, to);
  });
  return open;
}

/** Machines by the baths that they can run. */
function kindsOf(machines: readonly Machine[]): { kinds: number[][]; kindOf: number[] } {
  const kinds: number[][] = [];
  const kindOf = machines.map(({ baths }) => {
    const key = [...baths].sort((a, b) => a - b);
    const at = kinds.findIndex((kind) => kind.join() === key.join());
    return at >= 0 ? at : kinds.push(key) - 1;
  });
  return { kinds, kindOf };
}

/**
 * Technicians' minutes lost each minute.
 * @param block length of what a technician is at, at a minute drawn at random, min
 * @param slack how long full bags may wait on a machine, min
 */
export const crowdOf = (block: number, slack: number): number =>
  block > 0 ? (USABLE.crowd * block) / (block + slack) : 0;

export const slackOf = (machines: readonly Machine[]): number =>
  machines.reduce((sum, { shortest, longest }) => sum + longest - shortest, 0) / Math.max(1, machines.length);

/** @param most the largest number of machines that will be asked about */
export function readyBags(problem: Problem, most: number): Ready {
  const { rules, rounds, water } = problem;
  const { swapMinutes, circuitMinutes } = rules;
  const R = rounds.length;
  const machines = machinesFor(problem, most);
  const { kinds, kindOf } = kindsOf(machines);
  const K = kinds.length;
  const S = water.length;
  const deadlines = rounds.map(({ at, index }) =>
    index === 0 ? Number.NEGATIVE_INFINITY : at - rules.releaseMinutes,
  );
  const segments = segmentsOf(problem, deadlines);
  const baseStaff = segments.map(({ staff }) => staff);
  const baseOpen = openOf(segments, baseStaff);
  let open = baseOpen;
  let openChanged = false;

  // One setting-up after another: the technicians at the start serve machines that have no circuit.
  const firstStaff = Math.max(1, baseStaff[0] ?? 1);
  let unloaded = 0;
  const waits = machines.map(({ loaded }) =>
    loaded ? 0 : Math.floor(unloaded++ / firstStaff) * circuitMinutes,
  );
  const paceOf = (m: number): Pace => ({
    rules,
    source: water[machines[m]!.water]!,
    wait: waits[m]!,
    later: Math.floor(m / firstStaff) * circuitMinutes,
    open,
    deadlines,
  });
  const known = new Map<string, Work>();
  const base = machines.map((machine, m) => {
    const { shortest, windows, loaded, water: source } = machine;
    const { wait, later } = paceOf(m);
    const key = JSON.stringify([shortest, windows, loaded, source, wait, later]);
    const work = known.get(key) ?? emptyWork(R);
    if (!known.has(key)) countFills(machine, machine.windows, paceOf(m), work);
    known.set(key, work);
    return work;
  });
  const broken = emptyWork(R);

  const perCircuit = machines.map(({ shortest }, m) => {
    const whole = Math.floor((rules.circuitLife - circuitMinutes) / (shortest + swapMinutes));
    const { wornCircuits, wornFills } = base[m]!;
    return Math.max(1, wornCircuits > 0 ? wornFills / wornCircuits : whole);
  });
  const slacks = Array.from({ length: most + 1 }, (_, count) => slackOf(machines.slice(0, count)));
  const cycles = machines.map(({ shortest }) => shortest + swapMinutes);

  const usable: number[][] = [];
  /** Flow of each source that `count` machines can use, mL/min; it does not matter where it feeds all of them. */
  const usableOf = (count: number): readonly number[] => {
    usable[count] ??= water.map(({ capacity }, source) => {
      const mine = machines.slice(0, count).flatMap(({ flow, shortest, water: at }, m) => {
        const setting = circuitMinutes / perCircuit[m]!;
        return at === source ? [{ flow, duty: (shortest + setting) / (cycles[m]! + setting) }] : [];
      });
      const all = mine.reduce((sum, { flow }) => sum + flow, 0);
      return all <= capacity ? Number.POSITIVE_INFINITY : usableFlow(mine, capacity) * USABLE.water;
    });
    return usable[count];
  };
  const testShare = water.map(({ testEvery, testMinutes }) => testMinutes / testEvery);

  /** Technician minutes. */
  const staffTotal = new Float64Array(R);
  const openMinutes = new Float64Array(R);
  const changing = new Float64Array(R);
  const staffNow = new Int32Array(segments.length);
  let draw: Draw | null = null;
  /** Bags of each kind, and flow minutes, fills and circuits at each source; all as far as machines allow. */
  const running = new Float64Array(R * S * K);
  const load = new Float64Array(R * S);
  const fillsAt = new Float64Array(R * S);
  const circuitsAt = new Float64Array(R * S);
  const bags = new Float64Array(K * R);
  const held = new Uint8Array(R);

  return {
    machines,
    kinds,
    kindOf,
    deadlines,
    perCircuit,
    fills: base.map(({ fills }) => fills),
    bags,
    held,
    begin(next, wantedBaths) {
      draw = next;
      staffTotal.fill(0);
      openMinutes.fill(0);
      openChanged = false;
      for (let n = 0; n < segments.length; n++) {
        const { from, to, round, staff, bands } = segments[n]!;
        let here = staff;
        for (let b = 0; b < bands.length; b++) here -= next.absent[bands[b]!] ?? 0;
        if (here <= 0 && staff > 0) openChanged = true;
        staffNow[n] = here;
        if (round <= 0 || here <= 0) continue;
        staffTotal[round]! += here * (to - from);
        openMinutes[round]! += to - from;
      }
      open = openChanged ? openOf(segments, staffNow) : baseOpen;
      for (let r = 0; r < R; r++)
        changing[r] = USABLE.changes * Math.max(0, wantedBaths[r]! - 1) * rules.bathMinutes;
      running.fill(0);
      load.fill(0);
      fillsAt.fill(0);
      circuitsAt.fill(0);
    },

    add(m) {
      const machine = machines[m]!;
      const { positions, flow, shortest, water: source } = machine;
      const kind = kindOf[m]!;
      const down = draw?.down[m] ?? [];
      let work = base[m]!;
      if (down.length > 0 || openChanged) {
        work = broken;
        countFills(machine, cutWindows(machine.windows, down), paceOf(m), work);
      }
      const { fills, circuits } = work;
      for (let r = 1, at = S + source; r < R; r++, at += S) {
        const made = fills[r]!;
        const fresh = circuits[r]!;
        running[at * K + kind]! += made * positions;
        load[at]! += flow * (made * shortest + fresh * circuitMinutes);
        fillsAt[at]! += made;
        circuitsAt[at]! += fresh;
      }
    },

    limit(count) {
      const flowOf = usableOf(count);
      let cycle = 0;
      for (let m = 0; m < count; m++) cycle += cycles[m]! / count;
      const slack = slacks[count]!;
      let spare = 0;
      for (let r = 1; r < R; r++) {
        const minutes = openMinutes[r]!;
        let why = MACHINES;
        let tests = 0;
        let testing = 0;
        let fills = 0;
        let circuits = 0;
        for (let kind = 0; kind < K; kind++) bags[kind * R + r] = 0;
        for (let source = 0; source < S; source++) {
          const at = r * S + source;
          const flow = load[at]!;
          if (flow <= 0) continue;
          const most = flowOf[source]! * minutes;
          let share = 1;
          if (flow > most) {
            share = most / flow;
            why = WATER;
          }
          tests += minutes * testShare[source]!;
          testing += minutes * testShare[source]! * water[source]!.testMinutes;
          fills += fillsAt[at]! * share;
          circuits += circuitsAt[at]! * share;
          for (let kind = 0; kind < K; kind++) bags[kind * R + r]! += running[at * K + kind]! * share;
        }
        const total = staffTotal[r]!;
        const changed = changing[r]!;
        let share = 0;
        if (fills > 0 && total > 0) {
          const setting = circuits * circuitMinutes;
          const asked = fills * swapMinutes + setting;
          const hands = asked + tests + changed;
          const lengths =
            fills * swapMinutes ** 2 + setting * circuitMinutes + testing + changed * rules.bathMinutes;
          const block = lengths / hands;
          // All technicians are busy when a fill ends, and what is left of the work that the first to be free is at.
          let wait = block / 2;
          const busy = Math.min(1, hands / total);
          for (let people = total / minutes; people > 0; people -= 1)
            wait *= people >= 1 ? busy : 1 - people * (1 - busy);
          share = USABLE.machines - (USABLE.queue * wait) / cycle - changed / (count * minutes);
          const there = total - crowdOf(block, slack) * minutes - tests - changed;
          // A circuit may be renewed a round sooner, where there was time.
          const now = asked - Math.min(setting, spare);
          if (now * share > there) {
            why = TECHNICIANS;
            share = there / now;
          }
          spare = Math.max(0, there - asked * share);
        } else spare = 0;
        held[r] = why;
        if (share < 0) share = 0;
        for (let kind = 0; kind < K; kind++) bags[kind * R + r]! *= share;
      }
    },
  };
}
