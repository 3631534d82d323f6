import type { Machine, Problem } from '../../scenario/problem/types.ts';
import type { Draw } from '../draws/draw.ts';
import { MACHINES, TECHNICIANS, WATER } from './causes.ts';
import { countFills, emptyWork, type Pace, type Work } from './fills.ts';
import {
  type Deadlines,
  type DutyLoad,
  dutiesOf,
  dutyLoadOf,
  type Labor,
  laborOf,
  type MachineDuty,
  releaseOf,
  testLabor,
} from './floor.ts';
import { cutWindows, kindsOf, type Making, machinesFor } from './machines.ts';
import { Staffing } from './staffing.ts';
import { crowdOf, slackOf, USABLE, waitFor } from './usable.ts';
import { WaterFeed } from './waterFeed.ts';

/** Minute by which a swap must have ended to serve each round. */
const deadlinesOf = (problem: Problem): Deadlines =>
  problem.rounds.map(({ at, index }) => (index === 0 ? Number.NEGATIVE_INFINITY : at - releaseOf(problem)));

/** How late each machine's first circuit comes: technicians at the start set up one machine after the other. */
function waitsOf(machines: readonly Machine[], technicians: number, circuitMinutes: number): number[] {
  let unloaded = 0;
  return machines.map(({ loaded }) => (loaded ? 0 : Math.floor(unloaded++ / technicians) * circuitMinutes));
}

/** The work of one round as far as machines and water allow: sums over the sources. */
interface Asked {
  fills: number;
  circuits: number;
  /** Technician minutes of water tests, and those minutes weighed with the length of a test. */
  tests: number;
  testing: number;
  isDry: boolean;
}

/**
 * The bags that machines can have ready for each round, whatever bath they run, and what holds them down: each limit is
 * a method. Made once a site; a run is taken up by `begin`, machines by `add` in order of the list, and `limit` works
 * out `bags` and `held`.
 */
export class Ready implements Making {
  readonly machines: readonly Machine[];
  /** Baths that the machines of each kind can run. */
  readonly kinds: readonly (readonly number[])[];
  readonly kindOf: readonly number[];
  readonly deadlines: Deadlines;
  readonly perCircuit: readonly number[];
  readonly fills: readonly Uint16Array[];
  /** Bags, [kind x rounds + round]. */
  readonly bags: Float64Array;
  /** What holds them down (`causes.ts`), [round]. */
  readonly held: Uint8Array;

  readonly #problem: Problem;
  readonly #staffing: Staffing;
  readonly #waits: readonly number[];
  readonly #base: readonly Work[];
  readonly #broken: Work;
  readonly #cycles: readonly number[];
  readonly #slacks: readonly number[];
  readonly #feed: WaterFeed;
  readonly #labor: Labor;
  readonly #duties: readonly (readonly MachineDuty[])[];
  /** What duties take: those of each machine, and those of none. */
  readonly #dutyLoads: readonly DutyLoad[];
  readonly #otherDuties: DutyLoad;
  /** The same for the machines added so far. */
  readonly #dutyHands: Float64Array;
  readonly #dutyFlow: Float64Array;
  #draw: Draw | null = null;
  /** Technician minutes of bath changes, [round]. */
  readonly #changing: Float64Array;
  /** Bags of each kind, and flow minutes, fills and circuits at each source; all as far as machines allow. */
  readonly #running: Float64Array;
  readonly #load: Float64Array;
  readonly #fillsAt: Float64Array;
  readonly #circuitsAt: Float64Array;
  readonly #asked: Asked = { fills: 0, circuits: 0, tests: 0, testing: 0, isDry: false };
  /** Technician minutes of the round before that nobody used. */
  #spare = 0;

  /** @param most the largest number of machines that will be asked about */
  constructor(problem: Problem, most: number) {
    const { rules, rounds, water } = problem;
    this.#problem = problem;
    this.machines = machinesFor(problem, most);
    const { kinds, kindOf } = kindsOf(this.machines);
    this.kinds = kinds;
    this.kindOf = kindOf;
    this.deadlines = deadlinesOf(problem);
    this.#staffing = new Staffing(problem, this.deadlines);
    this.#waits = waitsOf(this.machines, this.#staffing.first, rules.circuitMinutes);
    this.#cycles = this.machines.map(({ shortest }) => shortest + rules.swapMinutes);
    this.#slacks = Array.from({ length: most + 1 }, (_, count) => slackOf(this.machines.slice(0, count)));
    this.#labor = laborOf(rules);
    this.#duties = dutiesOf(problem, this.machines);
    this.#dutyLoads = this.machines.map(({ water: source }, m) =>
      dutyLoadOf(problem, this.deadlines, { m, source }),
    );
    this.#otherDuties = dutyLoadOf(problem, this.deadlines, { m: null, source: 0 });
    this.#dutyHands = new Float64Array(rounds.length);
    this.#base = this.#unhindered();
    this.#broken = emptyWork(rounds.length);
    this.fills = this.#base.map(({ fills }) => fills);
    this.perCircuit = this.#base.map(({ wornCircuits, wornFills }, m) => {
      const whole = Math.floor((rules.circuitLife - rules.circuitMinutes) / this.#cycles[m]!);
      return Math.max(1, wornCircuits > 0 ? wornFills / wornCircuits : whole);
    });
    this.#feed = new WaterFeed(problem, this, this.deadlines);
    const cells = rounds.length * water.length;
    this.#dutyFlow = new Float64Array(cells);
    this.#changing = new Float64Array(rounds.length);
    this.#running = new Float64Array(cells * kinds.length);
    this.#load = new Float64Array(cells);
    this.#fillsAt = new Float64Array(cells);
    this.#circuitsAt = new Float64Array(cells);
    this.bags = new Float64Array(kinds.length * rounds.length);
    this.held = new Uint8Array(rounds.length);
  }

  #paceOf(m: number): Pace {
    const { rules, water } = this.#problem;
    return {
      rules,
      source: water[this.machines[m]!.water]!,
      wait: this.#waits[m]!,
      later: Math.floor(m / this.#staffing.first) * rules.circuitMinutes,
      open: this.#staffing.open,
      deadlines: this.deadlines,
      duties: this.#duties[m]!,
    };
  }

  /** What each machine gets done when it never breaks and nobody is absent; like machines are counted once. */
  #unhindered(): Work[] {
    const known = new Map<string, Work>();
    return this.machines.map((machine, m) => {
      const { shortest, windows, loaded } = machine;
      const pace = this.#paceOf(m);
      const key = JSON.stringify([
        shortest,
        windows,
        loaded,
        pace.source,
        pace.wait,
        pace.later,
        pace.duties,
      ]);
      const work = known.get(key) ?? emptyWork(this.deadlines.length);
      if (!known.has(key)) countFills(machine, windows, pace, work);
      known.set(key, work);
      return work;
    });
  }

  /** Takes up a run. @param wantedBaths number of baths that each round wants made */
  begin(draw: Draw, wantedBaths: Uint8Array): void {
    const { bathMinutes } = this.#problem.rules;
    this.#draw = draw;
    this.#staffing.begin(draw.absent);
    for (let r = 0; r < this.#changing.length; r++)
      this.#changing[r] = USABLE.changes * Math.max(0, wantedBaths[r]! - 1) * bathMinutes;
    this.#running.fill(0);
    this.#load.fill(0);
    this.#fillsAt.fill(0);
    this.#circuitsAt.fill(0);
    this.#dutyHands.set(this.#otherDuties.hands);
    this.#dutyFlow.set(this.#otherDuties.flow);
  }

  /** Lets one machine more run; in order of the list. */
  add(m: number): void {
    const { circuitMinutes } = this.#problem.rules;
    const { usable, flow, shortest, water, windows } = this.machines[m]!;
    const down = this.#draw?.down[m] ?? [];
    let work = this.#base[m]!;
    if (down.length > 0 || this.#staffing.openChanged) {
      work = this.#broken;
      countFills(this.machines[m]!, cutWindows(windows, down), this.#paceOf(m), work);
    }
    const sources = this.#problem.water.length;
    for (let r = 1, at = sources + water; r < this.deadlines.length; r++, at += sources) {
      const made = work.fills[r]!;
      const fresh = work.circuits[r]!;
      this.#running[at * this.kinds.length + this.kindOf[m]!]! += made * usable;
      this.#load[at]! += flow * (made * shortest + fresh * circuitMinutes);
      this.#fillsAt[at]! += made;
      this.#circuitsAt[at]! += fresh;
      this.#dutyHands[r]! += this.#dutyLoads[m]!.hands[r]!;
      this.#dutyFlow[at]! += this.#dutyLoads[m]!.flow[at]!;
    }
  }

  /** Works out `bags` and `held` for the first `count` machines, all of them added. */
  limit(count: number): void {
    const rounds = this.deadlines.length;
    let cycle = 0;
    for (let m = 0; m < count; m++) cycle += this.#cycles[m]! / count;
    this.#spare = 0;
    for (let r = 1; r < rounds; r++) {
      this.#limitWater(r, count);
      this.held[r] = this.#asked.isDry ? WATER : MACHINES;
      const share = Math.max(0, this.#limitHands(r, count, cycle));
      for (let kind = 0; kind < this.kinds.length; kind++) this.bags[kind * rounds + r]! *= share;
    }
  }

  /** Water: each source's machines run as far as its flow feeds them. Sets the round's bags and what they ask. */
  #limitWater(r: number, count: number): void {
    const { water, rules } = this.#problem;
    const flows = this.#feed.flowsFor(count);
    const minutes = this.#staffing.minutes[r]!;
    const kinds = this.kinds.length;
    const asked = this.#asked;
    asked.fills = 0;
    asked.circuits = 0;
    asked.tests = 0;
    asked.testing = 0;
    asked.isDry = false;
    for (let kind = 0; kind < kinds; kind++) this.bags[kind * this.deadlines.length + r] = 0;
    for (let source = 0; source < water.length; source++) {
      const at = r * water.length + source;
      const flow = this.#load[at]!;
      if (flow <= 0) continue;
      const most = Math.max(0, flows[at]! * minutes - this.#dutyFlow[at]!);
      const share = flow > most ? most / flow : 1;
      if (share < 1) asked.isDry = true;
      const { length, hands } = testLabor(water[source]!, rules);
      const { testEvery } = water[source]!;
      // Bags that wait for a test have one before every round.
      const testing = rules.releaseAfterTest
        ? Math.max((minutes * hands) / testEvery, hands)
        : minutes * (hands / testEvery);
      asked.tests += testing;
      asked.testing += testing * length;
      asked.fills += this.#fillsAt[at]! * share;
      asked.circuits += this.#circuitsAt[at]! * share;
      for (let kind = 0; kind < kinds; kind++)
        this.bags[kind * this.deadlines.length + r]! += this.#running[at * kinds + kind]! * share;
    }
  }

  /**
   * Hands: fills wait for a technician, and technicians have so many minutes. Marks the round where these are too few.
   * @param cycle mean length of a fill and its swap, min
   * @returns share of the fills that get done; below 0 where nothing does
   */
  #limitHands(r: number, count: number, cycle: number): number {
    const { circuitMinutes, bathMinutes, walkMinutes } = this.#problem.rules;
    const { fills, circuits, tests, testing } = this.#asked;
    const { fill, fillLength, circuit, change } = this.#labor;
    const minutes = this.#staffing.minutes[r]!;
    const total = this.#staffing.total[r]!;
    const changed = this.#changing[r]!;
    const duties = this.#dutyHands[r]!;
    if (fills <= 0 || total <= 0) {
      this.#spare = 0;
      return 0;
    }
    const setting = circuits * circuit;
    const asked = fills * fill + setting;
    const hands = asked + tests + changed * change + duties;
    const lengths =
      fills * (fill * fillLength) + setting * circuitMinutes + testing + changed * change * bathMinutes;
    // Duties are as long as anything else that is done, on average.
    const block = hands > duties ? lengths / (hands - duties) : walkMinutes;
    const wait = waitFor(block, Math.min(1, hands / total), total / minutes);
    let share = USABLE.machines - (USABLE.queue * wait) / cycle - changed / (count * minutes);
    const there = total - crowdOf(block, this.#slacks[count]!) * minutes - tests - changed * change - duties;
    // A circuit may be renewed a round sooner, where there was time.
    const now = asked - Math.min(setting, this.#spare);
    if (now * share > there) {
      this.held[r] = TECHNICIANS;
      share = there / now;
    }
    this.#spare = Math.max(0, there - asked * share);
    return share;
  }
}
