import { firstToExpire } from '../plan/cover.ts';
import type { Problem } from '../scenario/problem.ts';
import { countFills, cutWindows, machinesFor, type Pace, usableFlow } from './calendar.ts';
import type { Draw } from './draw.ts';
import { type SupplyPlan, supplyPlanOf } from './supplies.ts';

/** What the first missing bag of a draw lacked. */
export const CAUSES = ['opening stock', 'supplies', 'technicians', 'water', 'machines'] as const;
export type Cause = (typeof CAUSES)[number];

export interface Outcome {
  /** Bags (of fillLitres) that no lot serves, all baths and rounds; fractions where smaller bags serve. */
  bagsShort: number;
  /** Of these, bags that only stock there at the start could have served. */
  openingShort: number;
  /** Index into CAUSES; -1: nothing is short. */
  cause: number;
  /** First round that is short; -1: none. */
  round: number;
}

/**
 * Shares of what is there that a plan to the minute can use, fitted to full plans (`agreement.ts`): machine minutes, since
 * fills wait for technicians, tests and each other; technician minutes, since swaps must fall into the windows of
 * fills; flow minutes of a water source whose machines take turns.
 */
export const USABLE = { machines: 0.985, technicians: 0.97, water: 0.925 };
const EPSILON = 1e-6;
/** Share of the bags asked for below which a draw counts as nearly served. */
const NEARLY = 0.1;

/**
 * Whether machines, technicians, water and supplies can have ready what one draw needs, without making a plan: the
 * bags each machine can have ready for each round, less what technicians and water hold up, serve the rounds in order
 * of time, whole fills at a time. Built once a site; `judge` then allocates next to nothing.
 */
export interface FastModel {
  readonly most: number;
  /** Outcome for 1..most machines, or for `only` machines. */
  judge(draw: Draw, into: Outcome[], only?: number): void;
  /** After `judge`: the bags that this draw wants made, by [bath x rounds + round], stock used first. */
  readonly wanted: Float64Array;
  readonly supplies: SupplyPlan;
}

interface Segment {
  readonly from: number;
  readonly to: number;
  /** Round whose deadline the swaps of these minutes meet. */
  readonly round: number;
  readonly staff: number;
  readonly bands: readonly number[];
}

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

/** @param most the largest number of machines that will be asked about */
export function fastModel(problem: Problem, most: number): FastModel {
  const { rules, rounds, baths, water } = problem;
  const R = rounds.length;
  const B = baths.length;
  const machines = machinesFor(problem, most);
  const deadlines = rounds.map(({ at, index }) =>
    index === 0 ? Number.NEGATIVE_INFINITY : at - rules.releaseMinutes,
  );
  const segments = segmentsOf(problem, deadlines);
  const baseStaff = segments.map(({ staff }) => staff);

  const openOf = (staff: readonly number[]): number[] => {
    const open: number[] = [];
    segments.forEach(({ from, to }, n) => {
      if (staff[n]! <= 0) return;
      if (open.at(-1) === from) open[open.length - 1] = to;
      else open.push(from, to);
    });
    return open;
  };

  // Machines of a kind share baths; the ones that can run fewest baths are used first.
  const kinds: number[][] = [];
  const kindOf = machines.map(({ baths: can }) => {
    const key = [...can].sort((a, b) => a - b);
    const at = kinds.findIndex((kind) => kind.join() === key.join());
    return at >= 0 ? at : kinds.push(key) - 1;
  });
  const byFlexibility = kinds.map((_, kind) => kind).sort((a, b) => kinds[a]!.length - kinds[b]!.length);
  const kindsOfBath = baths.map((_, bath) => byFlexibility.filter((kind) => kinds[kind]!.includes(bath)));
  const grain = kinds.map((_, kind) =>
    Math.min(...machines.filter((_, m) => kindOf[m] === kind).map(({ positions }) => positions)),
  );

  // One setting-up after another: the technicians at the start serve machines that have no circuit.
  const firstStaff = Math.max(1, baseStaff[0] ?? 1);
  let unloaded = 0;
  const waits = machines.map(({ loaded }) =>
    loaded ? 0 : Math.floor(unloaded++ / firstStaff) * rules.circuitMinutes,
  );
  const paceOf = (m: number, open: readonly number[]): Pace => ({
    rules,
    source: water[machines[m]!.water]!,
    wait: waits[m]!,
    open,
    deadlines,
  });
  const baseOpen = openOf(baseStaff);
  const known = new Map<string, Uint16Array>();
  const base = machines.map((machine, m) => {
    const key = JSON.stringify([machine.shortest, machine.windows, machine.loaded, machine.water, waits[m]]);
    const counts = known.get(key) ?? new Uint16Array(R);
    if (!known.has(key)) countFills(machine, machine.windows, paceOf(m, baseOpen), counts);
    known.set(key, counts);
    return counts;
  });
  const counted = machines.map(() => new Uint16Array(R));

  const shelfFrom = rounds.map(({ to }) => {
    const latest = to - rules.shelf;
    return rounds.findIndex(
      (_, j) => j > 0 && (deadlines[j]! + Math.max(0, deadlines[j - 1]!)) / 2 - rules.swapMinutes >= latest,
    );
  });

  // A circuit serves so many fills; its minutes, its flow and its sets are shared out over them.
  const perCircuit = machines.map(({ shortest }) =>
    Math.max(1, Math.floor((rules.circuitLife - rules.circuitMinutes) / (shortest + rules.swapMinutes))),
  );
  const handsOn = machines.map((_, m) => rules.swapMinutes + rules.circuitMinutes / perCircuit[m]!);
  const supplies = supplyPlanOf(problem, machines, perCircuit);

  const lots = problem.lots
    .map((lot) => ({ ...lot, amount: (lot.bags * lot.bagParts) / problem.bagParts }))
    .sort(firstToExpire);
  const lotsOfBath = baths.map((_, bath) => lots.flatMap((lot, n) => (lot.bath === bath ? [n] : [])));
  const left = new Float64Array(lots.length);
  const refill = () => {
    for (let n = 0; n < left.length; n++) left[n] = lots[n]!.amount;
  };
  const takeLots = (bath: number, round: number, wanted: number): number => {
    let rest = wanted;
    const { at, to } = rounds[round]!;
    for (const n of lotsOfBath[bath]!) {
      if (rest <= 0) break;
      const lot = lots[n]!;
      if (left[n]! <= 0 || lot.ready > at || lot.expires < to) continue;
      const taken = Math.min(rest, left[n]!);
      left[n]! -= taken;
      rest -= taken;
    }
    return rest;
  };

  const net = new Float64Array(B * R);
  const gross = new Float64Array(B * R);
  const staffMinutes = new Float64Array(R);
  const openMinutes = new Float64Array(R);
  const K = kinds.length;
  const S = water.length;
  const running = new Float64Array(K * S * R);
  const load = new Float64Array(S * R);
  const hands = new Float64Array(R);
  const capacity = new Float64Array(K * R);
  const rest = new Float64Array(K * R);
  const pointer = new Int32Array(K);
  const held = new Uint8Array(R);
  const surplus = new Float64Array(B);
  const usedOfBath = new Float64Array(B);
  const staffNow = [...baseStaff];
  const outcome: Outcome = { bagsShort: 0, openingShort: 0, cause: -1, round: -1 };

  /** Serves the rounds in order of time from what can be made, and from lots before that or after it. */
  const serve = (need: Float64Array, lotsLast: boolean): void => {
    let made = 0;
    pointer.fill(1);
    rest.set(capacity);
    surplus.fill(0);
    usedOfBath.fill(0);
    outcome.bagsShort = 0;
    outcome.openingShort = 0;
    outcome.cause = -1;
    outcome.round = -1;
    for (let r = 0; r < R; r++) {
      for (let kind = 0; kind < K; kind++) {
        const oldest = shelfFrom[r]!;
        if (oldest < 0) pointer[kind] = Math.max(pointer[kind]!, r + 1);
        else if (pointer[kind]! < oldest) pointer[kind] = oldest;
      }
      for (let bath = 0; bath < B; bath++) {
        let wanted = need[bath * R + r]! - surplus[bath]!;
        surplus[bath] = Math.max(0, -wanted);
        if (wanted <= EPSILON) continue;
        let lacked = r === 0 ? 0 : 4;
        const able = kindsOfBath[bath]!;
        if (r > 0)
          for (let n = 0; n < able.length; n++) {
            const kind = able[n]!;
            const size = grain[kind]!;
            let order = Math.ceil((wanted - EPSILON) / size) * size;
            const allowed = Math.min(supplies.all[r]! - made, supplies.ofBath[bath]![r]! - usedOfBath[bath]!);
            if (order > allowed) {
              order = Math.max(0, Math.floor((allowed + EPSILON) / size) * size);
              lacked = 1;
            }
            let got = 0;
            for (let j = pointer[kind]!; j <= r && got < order - EPSILON; j++) {
              const part = Math.min(order - got, rest[kind * R + j]!);
              rest[kind * R + j]! -= part;
              got += part;
              if (rest[kind * R + j]! <= EPSILON && j === pointer[kind]) pointer[kind] = j + 1;
            }
            made += got;
            usedOfBath[bath]! += got;
            wanted -= got;
            if (wanted <= EPSILON) break;
          }
        if (wanted > EPSILON && lotsLast) wanted = takeLots(bath, r, wanted);
        if (wanted <= EPSILON) {
          surplus[bath] = Math.max(surplus[bath]!, -wanted);
          continue;
        }
        outcome.bagsShort += wanted;
        if (r === 0) outcome.openingShort += wanted;
        if (outcome.round < 0) {
          outcome.round = r;
          outcome.cause = lacked === 4 ? held[r]! || 4 : lacked;
        }
      }
    }
  };

  /** Adds one machine's fills to what runs. */
  const addMachine = (m: number): void => {
    const { positions, flow, shortest, water: source } = machines[m]!;
    const row = (kindOf[m]! * S + source) * R;
    const flowPerFill = flow * (shortest + rules.circuitMinutes / perCircuit[m]!);
    const counts = counted[m]!;
    for (let r = 1; r < R; r++) {
      const fills = counts[r]!;
      running[row + r]! += fills * positions;
      load[source * R + r]! += fills * flowPerFill;
    }
  };

  const usable: number[][] = [];
  const usableOf = (source: number, count: number): number => {
    usable[count] ??= [];
    const row = usable[count];
    row[source] ??= usableFlow(
      machines
        .slice(0, count)
        .filter((machine) => machine.water === source)
        .map(({ flow }) => flow),
      water[source]!.capacity,
    );
    return row[source]!;
  };

  /** What `count` machines can have ready for each round once water and technicians have had their say. */
  const limit = (count: number): void => {
    let bagsPerFill = 0;
    let minutesPerFill = 0;
    for (let m = 0; m < count; m++) {
      bagsPerFill += machines[m]!.positions / count;
      minutesPerFill += handsOn[m]! / count;
    }
    for (let r = 1; r < R; r++) {
      held[r] = 4;
      let bags = 0;
      let tests = 0;
      for (let kind = 0; kind < K; kind++) capacity[kind * R + r] = 0;
      for (let source = 0; source < S; source++) {
        const flowMinutes = usableOf(source, count) * openMinutes[r]! * USABLE.water;
        const asked = load[source * R + r]! * USABLE.machines;
        const share = asked > flowMinutes ? flowMinutes / asked : 1;
        if (share < 1) held[r] = 3;
        if (asked > 0) tests += (openMinutes[r]! / water[source]!.testEvery) * water[source]!.testMinutes;
        for (let kind = 0; kind < K; kind++) {
          const part = running[(kind * S + source) * R + r]! * USABLE.machines * share;
          capacity[kind * R + r]! += part;
          bags += part;
        }
      }
      const canHandle =
        (Math.max(0, staffMinutes[r]! * USABLE.technicians - tests) / minutesPerFill) * bagsPerFill;
      hands[r] = canHandle;
      if (bags > canHandle) {
        held[r] = 2;
        for (let kind = 0; kind < K; kind++) capacity[kind * R + r]! *= canHandle / bags;
      }
    }
  };

  return {
    most,
    wanted: net,
    supplies,
    judge(draw, into, only) {
      let openChanged = false;
      staffMinutes.fill(0);
      openMinutes.fill(0);
      for (let n = 0; n < segments.length; n++) {
        const { from, to, round, staff, bands } = segments[n]!;
        let here = staff;
        for (const band of bands) here -= draw.absent[band] ?? 0;
        if (here <= 0 && staff > 0) openChanged = true;
        staffNow[n] = here;
        if (round > 0 && here > 0) {
          staffMinutes[round]! += here * (to - from);
          openMinutes[round]! += to - from;
        }
      }
      const open = openChanged ? openOf(staffNow) : baseOpen;

      refill();
      let lotsLeft = false;
      let asked = 0;
      for (let bath = 0; bath < B; bath++)
        for (let r = 0; r < R; r++) {
          gross[bath * R + r] = draw.need[bath * R + r]!;
          net[bath * R + r] = takeLots(bath, r, gross[bath * R + r]!);
          asked += net[bath * R + r]!;
        }
      for (let n = 0; n < lots.length; n++) if (lots[n]!.amount > 0) lotsLeft = true;

      running.fill(0);
      load.fill(0);
      for (let count = 1; count <= most; count++) {
        const m = count - 1;
        const machine = machines[m]!;
        const down = draw.down[m] ?? [];
        if (down.length === 0 && !openChanged) counted[m]!.set(base[m]!);
        else countFills(machine, cutWindows(machine.windows, down), paceOf(m, open), counted[m]!);
        addMachine(m);
        if (only !== undefined && count !== only) continue;
        limit(count);
        serve(net, false);
        const out = into[count - 1]!;
        Object.assign(out, outcome);
        // Which lots go first matters where little is short, not where nearly everything is.
        if (outcome.bagsShort > EPSILON && lotsLeft && outcome.bagsShort < NEARLY * asked) {
          refill();
          serve(gross, true);
          if (outcome.bagsShort < out.bagsShort - EPSILON) Object.assign(out, outcome);
        }
        if (only !== undefined) return;
        // A machine more can stand idle, so it never does harm.
        if (m > 0 && out.bagsShort > into[m - 1]!.bagsShort) Object.assign(out, into[m - 1]!);
        if (out.bagsShort <= out.openingShort + EPSILON) {
          // Nothing but stock is short: more machines change nothing.
          for (let more = count; more < most; more++) Object.assign(into[more]!, out);
          return;
        }
      }
    },
  };
}
