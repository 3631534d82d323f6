import type { Demand } from '../../../src/demand/demand.ts';
import type { Score } from '../../../src/plan/plan.ts';
import type { Problem } from '../../../src/scenario/problem/types.ts';

/** Minutes of one step; see `exactOptimum` in ../bounds/exact.ts for why the grid loses nothing. */
const STEP = 10;
/** States at one step that are too many to go through. */
const MANY = 60_000;
const IDLE = 0;
const CIRCUIT = 1;
const BATH = 2;
const FILL = 3;
const SWAP = 4;

/** A machine: what it does and for how many steps more, the bath on its circuit (-1: none), steps of life left. */
interface Hand {
  readonly does: number;
  readonly left: number;
  readonly bath: number;
  readonly life: number;
}
type Cost = readonly [unmet: number, unmetMinutes: number, reserve: number, minutes: number];
/** Parts of a bath that serve rounds first..last; `last` past the last round: the reserve too. */
interface Lot {
  readonly bath: number;
  readonly first: number;
  readonly last: number;
  readonly parts: number;
}
interface State {
  readonly hands: readonly Hand[];
  /** Steps ago that a test ended, and steps that the one under way still takes. */
  readonly tested: number;
  readonly testing: number;
  readonly lots: readonly Lot[];
  readonly cost: Cost;
}

const steps = (minutes: number): number => {
  if (minutes % STEP !== 0) throw new Error(`${minutes} min is not on the grid of ${STEP} min`);
  return minutes / STEP;
};
const less = (a: Cost, b: Cost): boolean => {
  for (let i = 0; i < 4; i++) if (Math.abs(a[i]! - b[i]!) > 1e-6) return a[i]! < b[i]!;
  return false;
};
const plus = (cost: Cost, minutes: number): Cost => [cost[0], cost[1], cost[2], cost[3] + minutes];

/**
 * The best score of a tiny world with one water source, by walking through its steps and keeping, of all ways to come to
 * one state, the best: a computation that shares nothing with the search or the bounds. Bags that expire do not count; a
 * world with supplies, or with too many states, throws.
 * @param beat only what is better than this score is looked for
 * @returns null: nothing is better than `beat`
 */
export function stepwiseOptimum(
  problem: Problem,
  demand: Demand,
  beat: Score,
): Omit<Score, 'expiredBags'> | null {
  const walk = new Walk(problem, demand, beat);
  const cost = walk.best();
  if (!cost) return null;
  return {
    unmetLitres: cost[0] / problem.partsPerLitre,
    unmetLitreHours: cost[1] / 60 / problem.partsPerLitre,
    reserveShort: cost[2] / problem.bagParts,
    handsOnMinutes: cost[3],
  };
}

/** States of which none is at least as good as another in all: cost, life of the circuits, age of the test. */
class Kept {
  private readonly states = new Map<string, State[]>();
  size = 0;

  /** @param key of states that differ in nothing else */
  add(key: string, state: State): void {
    const others = this.states.get(key);
    if (!others) {
      this.states.set(key, [state]);
      this.size += 1;
      return;
    }
    if (others.some((other) => noWorse(other, state))) return;
    const left = others.filter((other) => !noWorse(state, other));
    this.size += left.length + 1 - others.length;
    left.push(state);
    this.states.set(key, left);
  }
  change(how: (state: State) => State): void {
    for (const [key, states] of this.states) this.states.set(key, states.map(how));
  }
  *all(): Generator<State> {
    for (const states of this.states.values()) yield* states;
  }
}
const noWorse = (a: State, b: State): boolean =>
  a.tested <= b.tested && a.hands.every(({ life }, m) => life >= b.hands[m]!.life) && !less(b.cost, a.cost);

class Walk {
  private readonly problem: Problem;
  private readonly demand: Demand;
  private limit: Cost;
  private readonly end: number;
  private readonly lasts: Record<
    'swap' | 'circuit' | 'change' | 'release' | 'life' | 'test' | 'serves',
    number
  >;
  /** Whether something may lie in the window of a machine from a step to another. */
  private readonly open: (m: number, from: number, to: number) => boolean;
  /** Steps from each one on until a fill that begins as soon as it may is off, by machine: infinity where none may. */
  private readonly untilFilled: readonly (readonly number[])[];
  /** First step from each one on in which a machine is there. */
  private readonly nextOpen: readonly number[];

  constructor(problem: Problem, demand: Demand, beat: Score) {
    this.problem = problem;
    this.demand = demand;
    const { rules, machines, partsPerLitre, bagParts } = problem;
    const { testEvery, testMinutes } = problem.water[0]!;
    if (problem.supplies.length > 0) throw new Error('supplies are not counted');
    this.limit = [
      beat.unmetLitres * partsPerLitre,
      beat.unmetLitreHours * 60 * partsPerLitre,
      beat.reserveShort * bagParts,
      beat.handsOnMinutes,
    ];
    this.lasts = {
      swap: steps(rules.swapMinutes),
      circuit: steps(rules.circuitMinutes),
      change: steps(rules.bathMinutes),
      release: steps(rules.releaseMinutes),
      life: steps(rules.circuitLife),
      test: steps(testMinutes),
      serves: steps(testEvery + 1),
    };
    const closing = Math.max(...machines.flatMap(({ windows }) => windows.map(({ to }) => to)));
    this.end = Math.ceil(closing / STEP);
    this.open = (m, from, to) => machines[m]!.windows.some((w) => w.from <= from * STEP && to * STEP <= w.to);
    const { swap } = this.lasts;
    this.untilFilled = machines.map(({ shortest }, m) => {
      const n = Math.ceil(shortest / STEP);
      const until = Array.from({ length: this.end + 2 }, () => Number.POSITIVE_INFINITY);
      for (let t = this.end; t >= 0; t--)
        until[t] = this.open(m, t, t + n) && this.open(m, t + n, t + n + swap) ? n + swap : until[t + 1]! + 1;
      return until;
    });
    const nextOpen = Array.from({ length: this.end + 2 }, () => Number.POSITIVE_INFINITY);
    for (let t = this.end; t >= 0; t--)
      nextOpen[t] = machines.some((_, m) => this.open(m, t, t + 1)) ? t : nextOpen[t + 1]!;
    this.nextOpen = nextOpen;
  }

  best(): Cost | null {
    const { problem, end } = this;
    let states = new Kept();
    states.add('', this.begin());
    let round = 0;
    let least: Cost | null = null;
    for (let t = 0; t <= end; t++) {
      const next = new Kept();
      while (round < problem.rounds.length && problem.rounds[round]!.at <= t * STEP) {
        const now = round;
        states.change((state) => this.served(state, now));
        round++;
      }
      for (const state of states.all()) {
        if (!this.hopeful(state, t, round)) continue;
        const done = this.ended(state, round);
        if (less(done, this.limit)) {
          this.limit = done;
          least = done;
        }
        if (t < end) this.step(state, t, next);
      }
      if (next.size > MANY) throw new Error(`${next.size} states at step ${t}`);
      states = next;
    }
    return least;
  }

  private begin(): State {
    const { problem } = this;
    const { lastTest } = problem.water[0]!;
    const hands = problem.machines.map(({ loaded }): Hand => {
      const life = loaded ? Math.floor((loaded.since + problem.rules.circuitLife) / STEP) : 0;
      return { does: IDLE, left: 0, bath: loaded && life > 0 ? loaded.bath : -1, life: Math.max(0, life) };
    });
    const lots = problem.lots.map(({ bath, bags, bagParts, ready, expires }) =>
      this.lot(bath, bags * bagParts, ready, expires),
    );
    const tested = lastTest === null ? this.lasts.serves : Math.ceil(-lastTest / STEP);
    return { hands, tested: Math.min(tested, this.lasts.serves), testing: 0, lots, cost: [0, 0, 0, 0] };
  }

  private lot(bath: number, parts: number, ready: number, expires: number): Lot {
    const { rounds, horizon } = this.problem;
    const first = rounds.findIndex(({ at }) => at >= ready);
    const reserve = ready <= horizon && expires >= horizon + 1440;
    const last = reserve ? rounds.length : rounds.filter(({ to }) => to <= expires).length - 1;
    return { bath, parts, first: first < 0 ? rounds.length : first, last };
  }

  /** A round served: of each bath first what lasts least. */
  private served(state: State, round: number): State {
    const { rounds, horizon, bagParts, baths } = this.problem;
    let lots = state.lots.filter(({ last }) => last >= round);
    let unmet = 0;
    for (let bath = 0; bath < baths.length; bath++) {
      let want = this.demand.bags[bath]![round]! * bagParts;
      const can = lots.filter((lot) => lot.bath === bath && lot.first <= round);
      for (const lot of can.sort((a, b) => a.last - b.last)) {
        const taken = Math.min(want, lot.parts);
        if (taken === 0) continue;
        want -= taken;
        lots = lots.map((one) => (one === lot ? { ...lot, parts: lot.parts - taken } : one));
      }
      unmet += want;
    }
    const [before, minutes, reserve, hands] = state.cost;
    const cost: Cost = [before + unmet, minutes + unmet * (horizon - rounds[round]!.at), reserve, hands];
    return { ...state, lots: lots.filter(({ parts }) => parts > 0), cost };
  }

  /** The cost when nothing more is done from here on. */
  private ended(state: State, round: number): Cost {
    if (state.hands.some(({ does }) => does !== IDLE)) return [Number.POSITIVE_INFINITY, 0, 0, 0];
    const { rounds, baths, reserve } = this.problem;
    let last = state;
    for (let r = round; r < rounds.length; r++) last = this.served(last, r);
    let short = 0;
    for (let bath = 0; bath < baths.length; bath++) {
      const kept = last.lots.filter((lot) => lot.bath === bath && lot.last >= rounds.length);
      const there = kept.reduce((sum, { parts }) => sum + parts, 0);
      short += Math.max(0, reserve[bath]! * this.problem.bagParts - there);
    }
    return [last.cost[0], last.cost[1], short, last.cost[3]];
  }

  /** Whether this may still lead to something better: what can be made at most, and costs at least, in time for each round. */
  private hopeful(state: State, t: number, round: number): boolean {
    const { rounds, bagParts, machines, rules, baths, water } = this.problem;
    const most = Math.max(...machines.map(({ usable }) => usable)) * bagParts;
    const spare = Math.max(0, this.limit[0] - state.cost[0]);
    const wanted = baths.map(() => 0);
    const needed = baths.map(() => 0);
    for (const { bath, parts } of state.lots) wanted[bath]! -= parts;
    let missed = 0;
    for (let r = round; r < rounds.length; r++) {
      const by = rounds[r]!.at / STEP - this.lasts.release;
      for (const bath of baths.keys()) {
        wanted[bath]! += this.demand.bags[bath]![r]! * bagParts;
        needed[bath] = Math.max(needed[bath]!, wanted[bath]!);
      }
      const all = wanted.reduce((sum, parts) => sum + Math.max(0, parts), 0);
      missed = Math.max(missed, all - this.mostBy(state, t, by) * bagParts);
    }
    const fills =
      spare > 0
        ? Math.ceil(Math.max(0, needed.reduce((sum, parts) => sum + parts, 0) - spare) / most - 1e-9)
        : needed.reduce((sum, parts) => sum + Math.ceil(parts / most - 1e-9), 0);
    const none = fills > 0 && state.hands.every(({ bath, life }) => bath < 0 || life <= this.lasts.swap);
    const untested = fills > 0 && state.testing === 0 && state.tested >= this.lasts.serves;
    const minutes =
      fills * rules.swapMinutes + (none ? rules.circuitMinutes : 0) + (untested ? water[0]!.testMinutes : 0);
    const [unmet, unmetMinutes, reserve, hands] = state.cost;
    return less([unmet + missed, unmetMinutes, reserve, hands + minutes], this.limit);
  }

  /** Bags that the machines could make by a step if only windows, circuits and water stood in their way. */
  private mostBy(state: State, t: number, by: number): number {
    const { machines, water } = this.problem;
    const { swap, circuit } = this.lasts;
    let there = 0;
    let running = 0;
    let quickest = 0;
    machines.forEach(({ windows, shortest, usable }, m) => {
      const length = Math.ceil(shortest / STEP);
      const { does, left, bath } = state.hands[m]!;
      const free = t + left + (does === FILL ? swap : bath < 0 ? circuit : 0);
      quickest = Math.max(quickest, usable / length);
      for (const { from, to } of windows) {
        const last = Math.min(to / STEP + swap, by);
        const begin = Math.max(free, from / STEP + (bath < 0 ? circuit : 0));
        there += Math.max(0, Math.floor((last - begin) / (length + swap))) * usable;
      }
    });
    const together = machines.reduce((sum, { flow }) => sum + flow, 0);
    if (together <= water[0]!.capacity) return there;
    for (let s = t; s < by - swap; s++) if (machines.some((_, m) => this.open(m, s, s + 1))) running += 1;
    return Math.min(there, running * quickest);
  }

  private step(state: State, t: number, next: Kept): void {
    const { machines } = this.problem;
    const choices = state.hands.map((hand, m) => this.choices(hand, m, t));
    const soon = machines.some((_, m) =>
      Array.from({ length: this.lasts.serves }, (_, k) => t + k).some((s) => this.open(m, s, s + 1)),
    );
    const tests = state.testing > 0 ? [0] : soon ? [0, 1] : [0];
    for (const test of tests) {
      const testing = test === 1 ? this.lasts.test : state.testing;
      const begun = test === 1 ? plus(state.cost, this.lasts.test * STEP) : state.cost;
      const go = (m: number, hands: Hand[], lots: readonly Lot[], cost: Cost): void => {
        if (m < machines.length) {
          for (const one of choices[m]!)
            go(m + 1, [...hands, one.hand], one.lot ? [...lots, one.lot] : lots, plus(cost, one.minutes));
          return;
        }
        this.keep({ hands, tested: state.tested, testing, lots, cost }, t, next);
      };
      go(0, [], state.lots, begun);
    }
  }

  /** What a machine may do in this step: go on, or begin something, or rest. */
  private choices(hand: Hand, m: number, t: number): { hand: Hand; minutes: number; lot: Lot | null }[] {
    const { rules, machines, staff } = this.problem;
    const { swap, circuit, change, life } = this.lasts;
    const { baths, shortest, longest, usable } = machines[m]!;
    const { bath } = hand;
    if (hand.does !== IDLE) return [{ hand, minutes: 0, lot: null }];
    const out: { hand: Hand; minutes: number; lot: Lot | null }[] = [{ hand, minutes: 0, lot: null }];
    for (const other of baths) {
      if (this.open(m, t, t + circuit))
        out.push({
          hand: { does: CIRCUIT, left: circuit, bath: other, life },
          minutes: rules.circuitMinutes,
          lot: null,
        });
      if (bath >= 0 && other !== bath && change <= hand.life && this.open(m, t, t + change))
        out.push({
          hand: { does: BATH, left: change, bath: other, life: hand.life },
          minutes: rules.bathMinutes,
          lot: null,
        });
    }
    if (bath < 0 || staff[t * STEP]! === 0) return out;
    for (let n = Math.ceil(shortest / STEP); n * STEP <= longest; n++) {
      if (!this.open(m, t, t + n) || !this.open(m, t + n, t + n + swap) || n + swap > hand.life) continue;
      const filled = (t + n) * STEP;
      const ready = filled + rules.swapMinutes + rules.releaseMinutes;
      const lot = this.lot(bath, usable * this.problem.bagParts, ready, filled + rules.shelf);
      if (lot.last < lot.first) continue;
      out.push({ hand: { ...hand, does: FILL, left: n }, minutes: rules.swapMinutes, lot });
    }
    return out;
  }

  /** The state a step later, if this one breaks no rule and is the best of its kind. */
  private keep({ hands, tested, testing, lots, cost }: State, t: number, next: Kept): void {
    const { problem, lasts, end } = this;
    let flow = 0;
    let people = testing > 0 ? 1 : 0;
    hands.forEach(({ does }, m) => {
      if (does === CIRCUIT || does === BATH || does === FILL) flow += problem.machines[m]!.flow;
      if (does === CIRCUIT || does === BATH || does === SWAP) people += 1;
    });
    const source = problem.water[0]!;
    if (people > problem.staff[t * STEP]! || flow > source.capacity) return;
    if (flow > 0 && tested >= lasts.serves) return;
    const later = hands.map(({ does, left, bath, life }, m): Hand => {
      const age = Math.min(Math.max(0, life - 1), end - t);
      const still = left - 1;
      if (does === FILL && still === 0) return { does: SWAP, left: lasts.swap, bath, life: age };
      if (does !== IDLE && still > 0) return { does, left: still, bath, life: age };
      // A circuit on which nothing more can be filled is none.
      const useless = age < this.untilFilled[m]![t + 1]!;
      return { does: IDLE, left: 0, bath: useless ? -1 : bath, life: useless ? 0 : age };
    });
    const fresh = testing === 1;
    const age = fresh ? 0 : Math.min(lasts.serves, tested + 1);
    // A test that serves no longer when a machine is there again serves nobody.
    const over = this.nextOpen[t + 1]! - (t + 1) >= lasts.serves - age;
    const state: State = {
      hands: later,
      tested: over ? lasts.serves : age,
      testing: Math.max(0, testing - 1),
      lots: this.merged(lots, t),
      cost,
    };
    const key = `${later.map((h) => `${h.does},${h.left},${h.bath}`).join(';')}|${state.testing}|${state.lots.map((l) => `${l.bath},${l.first},${l.last},${l.parts}`).join(';')}`;
    next.add(key, state);
  }

  /** Like lots as one, without what no round could take any more. */
  private merged(lots: readonly Lot[], t: number): Lot[] {
    const { rounds, reserve, bagParts } = this.problem;
    const next = rounds.findIndex(({ at }) => at > t * STEP);
    const sums = new Map<number, Lot>();
    for (const lot of lots) {
      const first = Math.max(lot.first, next < 0 ? rounds.length : next);
      const kept = lot.last >= rounds.length && reserve[lot.bath]! > 0;
      if (lot.last < first && !kept) continue;
      const key = (lot.bath * 64 + first) * 64 + lot.last;
      const parts = lot.parts + (sums.get(key)?.parts ?? 0);
      let useful = kept ? reserve[lot.bath]! * bagParts : 0;
      for (let r = first; r <= Math.min(lot.last, rounds.length - 1); r++)
        useful += this.demand.bags[lot.bath]![r]! * bagParts;
      if (useful > 0) sums.set(key, { ...lot, first, parts: Math.min(parts, useful) });
    }
    return [...sums.entries()].sort((a, b) => a[0] - b[0]).map(([, lot]) => lot);
  }
}
