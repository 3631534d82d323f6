import type { Demand } from '../../demand/demand.ts';
import type { Activity } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { wantedByBath } from '../bounds/sinks.ts';
import { Dispatcher } from '../schedule/dispatch.ts';
import { Evaluator, isBetter, type Worth } from '../schedule/evaluate.ts';
import type { State } from '../schedule/floor.ts';
import { activitiesOf } from '../schedule/listing.ts';
import { STRIDE } from '../schedule/occupancy.ts';
import { BATH, CIRCUIT, FILL, KINDS, NEVER } from '../schedule/work.ts';

/** Something that a machine begins. */
interface Begun {
  readonly kind: number;
  readonly m: number;
  readonly bath: number;
}

/** A way to come to a minute. */
interface Way {
  /** How things stand, once looked at; before that `begun` at `parent`. */
  state: State;
  readonly begun: Begun | null;
  /** What it is worth if nothing more is done: the less the better. */
  readonly price: number;
  /** First machine that may still begin something at this minute. */
  readonly from: number;
  /** When something can begin that could not at this minute. */
  readonly wake: number;
  /** Whether each machine is set up and has filled nothing since. */
  readonly armed: readonly boolean[];
  /** Baths of which something is still wanting. */
  readonly wanted: readonly boolean[];
  /** Fills so far that serve nothing. */
  readonly useless: number;
  /** When each thing could begin at the soonest, as asked before; -1: never. */
  soonest: Map<number, number> | null;
  /** Alike for ways from which the same can be done. */
  readonly key: string;
}

/** How ways are compared, technician minutes. */
interface Prices {
  /** Of a missing litre. */
  readonly litre: number;
  /** That a machine set up, with no fill since, is worth. */
  readonly setUp: number;
}

/**
 * Goes from minute to minute and, of all ways to come to each, follows the best so many: at a minute each machine that is
 * free begins a circuit, a bath change or a fill, or waits until something ends, begins or opens. Set-up and fill are
 * things of their own, so that machines on one source, or with one technician, take every turn that there is: lines, which
 * know waits in minutes, seldom come upon the right ones on two machines at once. Its work grows with the number of ways, so
 * it is for plans of few fills.
 */
export class TurnByTurn {
  /** The best plan found, without what serves nothing; history is in it. Empty: none yet. */
  activities: Activity[] = [];
  private best: Worth | null = null;
  private readonly problem: Problem;
  private readonly dispatcher: Dispatcher;
  private readonly evaluator: Evaluator;
  private readonly setUp: number;
  /** From the begin of a fill to where its bags can serve, min. */
  private readonly soonest: number;
  /** Ways at each minute, by their key. */
  private readonly ways: Map<string, Way>[];
  /** States of ways that were left, at this minute and before: those before are written over. */
  private readonly left: State[] = [];
  private readonly old: State[] = [];
  /** Minutes at which waiting may end although nothing is booked to end then. */
  private readonly minutes: readonly number[];

  constructor(problem: Problem, demand: Demand, { litre, setUp }: Prices) {
    this.problem = problem;
    this.dispatcher = new Dispatcher(problem, wantedByBath(problem, demand));
    this.evaluator = new Evaluator(problem, demand);
    this.evaluator.litre = litre;
    this.setUp = setUp;
    const { swapMinutes, releaseMinutes } = problem.rules;
    this.soonest =
      Math.min(...problem.machines.map(({ shortest }) => shortest)) + swapMinutes + releaseMinutes;
    this.ways = Array.from({ length: problem.horizon + 1 }, () => new Map());
    this.minutes = turningMinutes(problem);
  }

  /** Takes part of an earlier plan as history (see Dispatcher.freeze). */
  freeze(activities: readonly Activity[], now: number): void {
    this.dispatcher.freeze(activities, now);
  }

  /**
   * Yields the share of the time done now and then.
   * @param work ways followed in all, about, times the circuits of any bath that machines could take
   */
  *walk(work: number): Generator<number> {
    const { problem, dispatcher, ways } = this;
    const machines = problem.machines.length;
    const things = problem.machines.reduce((sum, { baths }) => sum + baths.length, 0);
    const most = Math.ceil(work / (things * this.minutes.length));
    const { floor } = dispatcher;
    floor.restore(null);
    const armed = problem.machines.map(() => false);
    const none = { state: floor.capture(), begun: null, armed, from: 0, wake: NEVER, useless: NEVER };
    this.keep(floor.held.now, none);
    for (let t = floor.held.now; t < problem.horizon; t++) {
      if (ways[t]!.size === 0) continue;
      yield t / problem.horizon;
      // What begins something at this minute goes on here, from the next machine on.
      for (let from = 0; from <= machines; from++) {
        const here = [...ways[t]!.values()].filter((way) => way.from === from);
        here.sort((a, b) => a.price - b.price);
        for (const way of here.slice(0, most)) this.follow(way, t);
        for (const way of here.slice(most)) this.leave(way);
      }
      ways[t]!.clear();
      this.old.push(...this.left.splice(0));
    }
  }

  /** Everything that may be begun at a minute; and nothing, up to the next one at which something may change. */
  private follow(way: Way, t: number): void {
    const { problem } = this;
    if (way.begun) {
      this.again(way.state, way.begun, t);
      way.state = this.captured();
    }
    way.soonest ??= new Map();
    const { ready } = way.state;
    let next = Math.min(way.wake, this.minutes.find((minute) => minute > t) ?? NEVER);
    for (const { kind, m, bath } of this.choices(way, t)) {
      const thing = (m * problem.baths.length + bath) * KINDS.length + kind;
      const known = way.soonest.get(thing) ?? t;
      const begins = known < 0 || known > t ? known : this.again(way.state, { kind, m, bath }, t);
      way.soonest.set(thing, begins);
      if (begins > t) next = Math.min(next, begins);
      if (begins !== t) continue;
      const armed = way.armed.map((one, k) => (k === m ? kind !== FILL : one));
      const begun = { kind, m, bath };
      this.keep(t, { state: way.state, begun, armed, from: m + 1, wake: next, useless: way.useless });
    }
    for (const end of ready)
      for (const minute of [end - problem.rules.swapMinutes, end])
        if (minute > t && minute < next) next = minute;
    const waits = { ...way, begun: null, from: 0, wake: NEVER };
    if (next <= problem.horizon) this.add(next, waits);
    else this.leave(waits);
  }

  /** How the floor stands, written over what is wanted no more where there is some: there are thousands of them. */
  private captured(): State {
    const { floor } = this.dispatcher;
    const state = this.old.pop();
    if (!state) return floor.capture();
    floor.captureInto(state);
    return state;
  }

  /** A way is not followed: its state, if it is its own, is wanted no more once this minute is over. */
  private leave({ state, begun }: Way): void {
    if (!begun) this.left.push(state);
  }

  /** Begins something where a way stood. Returns when it does; -1: never. */
  private again(state: State, { kind, m, bath }: Begun, t: number): number {
    this.dispatcher.floor.restore(state);
    return this.dispatcher.place(kind, m, bath, t);
  }

  /** What the machines that are free at a minute could begin. */
  private choices({ state, from, armed, wanted }: Way, t: number): Begun[] {
    return this.problem.machines.flatMap(({ baths }, m): Begun[] => {
      const runs = state.bathOn[m]!;
      if (m < from || state.ready[m]! > t) return [];
      const fill = baths.includes(runs) ? [{ kind: FILL, m, bath: runs }] : [];
      const others = armed[m] ? [] : baths.filter((bath) => wanted[bath]);
      return [
        ...fill,
        ...others.map((bath) => ({ kind: CIRCUIT, m, bath })),
        ...others.filter((bath) => runs >= 0 && bath !== runs).map((bath) => ({ kind: BATH, m, bath })),
      ];
    });
  }

  /** Judges what stands on the floor as if nothing more were done, and keeps it, unless its last fill serves nothing. */
  private keep(t: number, way: Pick<Way, 'state' | 'begun' | 'armed' | 'from' | 'wake' | 'useless'>): void {
    const { dispatcher, evaluator } = this;
    const stands = this.standsAt(t);
    dispatcher.finish();
    evaluator.begin(null);
    const price = evaluator.judge(dispatcher.floor.held);
    const useless = evaluator.useless.length;
    if (useless > way.useless) return;
    const best = this.bestWith(evaluator);
    const { wanted, lost } = this.wantedAt(t);
    if (lost > best.unmetParts) return;
    const setUp = way.armed.filter((one) => one).length;
    const key = `${way.from}|${way.armed}|${stands}|${evaluator.unmet}`;
    this.add(t, { ...way, price: price - setUp * this.setUp, wanted, useless, soonest: null, key });
  }

  /** The best so far, which what was judged just now may be. */
  private bestWith({
    unmetParts,
    unmetPartMinutes,
    reserveShortParts,
    handsOn,
    expiredBags,
    useless,
  }: Evaluator): Worth {
    const worth = { unmetParts, unmetPartMinutes, reserveShortParts, handsOn, expiredBags };
    if (this.best && !isBetter(worth, this.best)) return this.best;
    this.best = worth;
    this.activities = activitiesOf(this.dispatcher.floor.held, useless);
    return worth;
  }

  /** Baths that what was judged just now wants, and parts of needs that nothing begun at a minute or later can serve. */
  private wantedAt(t: number): { readonly wanted: boolean[]; readonly lost: number } {
    const { rounds, baths } = this.problem;
    const { unmet, reserveShortParts } = this.evaluator;
    const wanted = baths.map(() => reserveShortParts > 0);
    let lost = 0;
    unmet.forEach((parts, index) => {
      if (parts === 0) return;
      if (rounds[index % rounds.length]!.at < t + this.soonest) lost += parts;
      else wanted[Math.floor(index / rounds.length)] = true;
    });
    return { wanted, lost };
  }

  /** What decides what can be done from a minute on: machines, the last tests, and bags made of each bath. */
  private standsAt(t: number): string {
    const { held, bathOn, since } = this.dispatcher.floor;
    const { machines, baths } = this.problem;
    const made = baths.map(() => 0);
    for (let at = 0; at < held.count * STRIDE; at += STRIDE)
      if (held.ops[at] === FILL) made[held.ops[at + 2]!]! += machines[held.ops[at + 1]!]!.usable;
    const busy = held.ready.map((ready) => Math.max(ready, t));
    return `${busy}|${bathOn}|${since}|${held.tests.ends.map((ends) => ends.at(-1))}|${made}`;
  }

  /** Of ways with the same key the cheapest is kept. */
  private add(t: number, way: Way): void {
    const other = this.ways[t]!.get(way.key);
    if (other && other.price <= way.price) {
      this.leave(way);
      return;
    }
    if (other) this.leave(other);
    this.ways[t]!.set(way.key, way);
  }
}

/**
 * Minutes of a problem at which it may be well to go on after waiting, whatever is booked: windows and shifts begin, or
 * there is just time left for a fill or two, or a circuit too, until a window closes, the next round or a shift's end.
 */
export function turningMinutes({ machines, rules, rounds, horizon, staff }: Problem): number[] {
  const { circuitMinutes, swapMinutes, releaseMinutes } = rules;
  const found = new Set<number>();
  for (const { shortest, windows } of machines) {
    const cycle = shortest + swapMinutes;
    for (const { from, to } of windows)
      for (const left of [
        to - from,
        circuitMinutes,
        shortest,
        cycle,
        cycle + circuitMinutes,
        2 * cycle,
        2 * cycle + circuitMinutes,
      ])
        found.add(to - left);
    for (const { at } of rounds)
      for (const setUp of [0, circuitMinutes]) found.add(at - releaseMinutes - cycle - setUp);
    for (let t = 1; t < horizon; t++)
      if (staff[t] !== staff[t - 1]) for (const left of [0, shortest]) found.add(t - left);
  }
  return [...found].filter((t) => t >= 0 && t < horizon).sort((a, b) => a - b);
}
