import type { Demand } from '../../demand/demand.ts';
import { cover } from '../../plan/cover.ts';
import type { Activity } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { wantedByBath } from '../bounds/sinks.ts';
import { Dispatcher, GIVE_UP } from '../schedule/dispatch.ts';
import { Evaluator, isBetter, LITRE, type Worth } from '../schedule/evaluate.ts';
import { activitiesOf } from '../schedule/listing.ts';
import { type Occupancy, STRIDE } from '../schedule/occupancy.ts';
import { Playback } from '../schedule/playback.ts';
import { RuleOfThumb } from '../schedule/ruleOfThumb.ts';
import type { Line, Lines } from '../schedule/segment.ts';
import type { Temper } from '../schedule/temper.ts';
import { FILL } from '../schedule/work.ts';
import type { Chance } from './chance.ts';
import { exchangedFrom, joined } from './lineEdits.ts';
import { Marks } from './marks.ts';
import { Moves } from './moves/moves.ts';
import { type OutOfReach, outOfReach } from './outOfReach.ts';
import { type Standing, standingOf } from './standing.ts';

/** Lines with what they are worth. */
export interface Found extends Worth {
  readonly lines: Lines;
}

/** How long and how hot to anneal. */
export interface Heat {
  readonly tries: number;
  /** Technician minutes by which a worse schedule is still taken, at the start and at the end. */
  readonly hot: number;
  readonly cold: number;
  /** Technician minutes that a missing litre counts, at the start and at the end. */
  readonly litre: number;
  readonly litreTo: number;
}

/** A rule of thumb's schedule that much dearer than the best is not looked at more closely. */
const FAR = 0.02;
/** A try is given up as soon as what it misses alone costs more than could be made up for by so many minutes. */
const FEWER_MINUTES = 60;

/** The search: a rule of thumb under several tempers, then annealing on the lines, each try a whole schedule. */
export class Search {
  best: Found | null = null;
  /** Lines that need the fewest minutes when a missing litre counts LITRE of them: where to search on, if not yet the best. */
  promising: Lines | null = null;
  tries = 0;
  /** What they need. */
  least = Number.POSITIVE_INFINITY;
  readonly dispatcher: Dispatcher;
  private readonly problem: Problem;
  private readonly demand: Demand;
  private lost: OutOfReach;
  private readonly evaluator: Evaluator;
  private readonly playback: Playback;
  private readonly thumb: RuleOfThumb;
  private readonly marks: Marks;

  /** @param quickFirst as for Dispatcher */
  constructor(problem: Problem, demand: Demand, quickFirst = false) {
    this.problem = problem;
    this.demand = demand;
    this.lost = outOfReach(problem, demand);
    this.dispatcher = new Dispatcher(problem, wantedByBath(problem, demand), quickFirst);
    this.evaluator = new Evaluator(problem, demand);
    this.playback = new Playback(problem.machines.length);
    this.thumb = new RuleOfThumb(problem, demand, this.dispatcher.floor, cover(problem, demand, []).unmet);
    this.marks = new Marks(this.dispatcher, this.playback, this.evaluator);
  }

  /** What the last dispatch booked. */
  private get held(): Occupancy {
    return this.dispatcher.floor.held;
  }

  /** Takes part of an earlier plan as history (see Dispatcher.freeze). */
  freeze(activities: readonly Activity[], now: number): void {
    this.dispatcher.freeze(activities, now);
    this.lost = outOfReach(this.problem, this.demand, now);
  }

  /** Whether the best so far leaves a need unmet that a fill could serve. */
  get short(): boolean {
    return this.best !== null && this.best.unmetParts > this.lost.unmetParts;
  }

  /** The price of lines; infinity, and no judgement, once what they miss alone costs more than the limit. */
  private judge(lines: Lines, limit = Number.POSITIVE_INFINITY): number {
    const { evaluator } = this;
    this.tries += 1;
    const hopeless = () => evaluator.missed * evaluator.litre > limit;
    return this.marks.dispatch(lines, hopeless) ? evaluator.judge(this.held) : Number.POSITIVE_INFINITY;
  }

  /** The lines without the fills that the last judgement found useless, and those that found no room. */
  private trimmed(lines: Lines): Line[] {
    const { ops } = this.held;
    const placed = lines.map((line) => line.map(() => 0));
    const useless = lines.map((line) => line.map(() => 0));
    const count = (of: number[][], i: number) => {
      const segment = ops[i * STRIDE + 5]!;
      if (segment >= 0) of[ops[i * STRIDE + 1]!]![segment]! += 1;
    };
    for (let i = 0; i < this.held.count; i++) if (ops[i * STRIDE] === FILL) count(placed, i);
    for (const i of this.evaluator.useless) count(useless, i);
    return lines.map((line, m) =>
      joined(
        line.map((segment, i) => {
          const kept = placed[m]![i]! - useless[m]![i]!;
          const open = segment.toEnd && useless[m]![i] === 0 && kept > 0;
          return {
            ...segment,
            fills: open ? segment.fills : Math.min(segment.fills, kept),
          };
        }),
      ),
    );
  }

  private found(lines: Lines): Found {
    const { unmetParts, unmetPartMinutes, reserveShortParts, handsOn, expiredBags } = this.evaluator;
    return { lines, unmetParts, unmetPartMinutes, reserveShortParts, handsOn, expiredBags };
  }

  /**
   * Leaves out of lines what nobody needs, and judges again until nothing is left to leave out.
   * @param price of the lines, which the evaluator must hold the judgement of
   */
  settle(lines: Lines, price = this.judge(lines)): Lines {
    let now = lines;
    let cost = price;
    for (let k = 0; k < 6; k++) {
      const next = this.trimmed(now);
      if (this.evaluator.useless.length === 0 && next.every((line, m) => line.length === now[m]!.length))
        break;
      const before = this.found(now);
      const judged = this.judge(next);
      if (isBetter(before, this.found(next)) && judged > cost) {
        // Leaving them out moved the rest for the worse: keep them in the lines, they are left out of the plan anyway.
        this.judge(now);
        break;
      }
      cost = judged;
      now = next;
    }
    return now;
  }

  /** Keeps lines as the best when they are. The evaluator must hold their judgement. */
  private keep(lines: Lines): void {
    const found = this.found(lines);
    if (!this.best || isBetter(found, this.best)) this.best = found;
    const price = this.evaluator.price(this.evaluator, LITRE);
    if (price < this.least) {
      this.least = price;
      this.promising = lines;
    }
  }

  /**
   * The rule of thumb under a temper; kept when it is the best. Returns its price at LITRE for a missing litre, min; infinity
   * once what it misses alone costs more than the limit, and too much to be looked at more closely.
   */
  construct(temper: Temper, limit = Number.POSITIVE_INFINITY): number {
    const { evaluator, dispatcher } = this;
    const close = this.least * (1 + FAR);
    const most = Math.max(limit, close) / LITRE;
    this.thumb.temper = temper;
    evaluator.begin(null);
    const whole = dispatcher.run(this.thumb, evaluator.nextRound + 1, (time) => {
      evaluator.follow(this.held, time);
      return evaluator.missed > most ? GIVE_UP : evaluator.nextRound + 1;
    });
    if (!whole) return Number.POSITIVE_INFINITY;
    evaluator.judge(this.held);
    const price = evaluator.price(evaluator, LITRE);
    if (price > close) return price;
    this.consider(this.thumb.taken());
    return evaluator.price(evaluator, LITRE);
  }

  private standing(lines: Lines): Standing {
    return standingOf(lines, this.held, this.evaluator, this.lost);
  }

  /**
   * Anneals from these lines; keeps what is best. A missing litre may cost little at first: the way from one good plan
   * to another leads through plans that miss some.
   * Yields the share done now and then, so that the caller can report, pause or stop.
   */
  *anneal(start: Lines, chance: Chance, { tries, hot, cold, litre, litreTo }: Heat): Generator<number> {
    const { evaluator } = this;
    const moves = new Moves(this.problem, chance);
    evaluator.litre = litre;
    let now: Found = this.found(this.settle(start));
    this.keep(now.lines);
    let standing = this.standing(now.lines);
    this.marks.rebase(now.lines);
    const from = this.tries;
    for (let n = 0; this.tries - from < tries; n++) {
      const done = (this.tries - from) / tries;
      if (n % 16 === 0) yield done;
      const next = moves.neighbour(now.lines, standing);
      if (!next) {
        this.tries += 0.05;
        continue;
      }
      const heat = hot * (cold / hot) ** done;
      evaluator.litre = litre * (litreTo / litre) ** done;
      const most = evaluator.price(now) + heat * -Math.log(chance.unit() + 1e-300);
      const price = this.judge(next, most - now.handsOn + FEWER_MINUTES);
      if (price > most) continue;
      const lines = evaluator.useless.length > 0 ? this.settle(next, price) : next;
      now = this.found(lines);
      this.keep(lines);
      standing = this.standing(lines);
      this.marks.rebase(lines);
    }
  }

  /**
   * Two machines that differ take each other's lines from a round on, as long as that makes them cheaper: annealing seldom
   * comes upon it where there are many machines, and one that rests all along gets work in no other single step.
   * Yields the share done now and then.
   * @param most pairs and rounds to try, about
   */
  *exchange(most: number): Generator<number> {
    const { evaluator, marks, problem } = this;
    const { machines, rounds } = problem;
    const like = machines.map(({ flow, positions, baths, water, windows }) =>
      JSON.stringify([flow, positions, baths, water, windows]),
    );
    const pairs = machines.flatMap((_, m) =>
      machines.flatMap((_, n) => (n < m && like[n] !== like[m] ? [[m, n] as const] : [])),
    );
    const step = Math.ceil((rounds.length * pairs.length) / most);
    const times = rounds.filter((_, index) => index % step === 0).map(({ at }) => at);
    if (!this.best || pairs.length === 0) return;
    evaluator.litre = LITRE;
    let lines = this.settle(this.promising ?? this.best.lines);
    let price = evaluator.price(evaluator);
    let { starts } = this.standing(lines);
    marks.rebase(lines);
    for (const [k, from] of times.entries())
      for (const [p, [m, n]] of pairs.entries()) {
        if (p % 16 === 0) yield (k + p / pairs.length) / times.length;
        const next = exchangedFrom(problem, lines, starts, { m, n, from });
        if (!next) continue;
        const own = this.judge(next, price);
        if (own >= price) continue;
        lines = this.settle(next, own);
        this.keep(lines);
        price = evaluator.price(evaluator);
        ({ starts } = this.standing(lines));
        marks.rebase(lines);
      }
  }

  /** Of so many lines the cheapest when a missing litre counts LITRE, none of them settled or kept. */
  cheapest(many: number, draw: () => Lines): Lines {
    this.evaluator.litre = LITRE;
    let best = draw();
    let least = this.judge(best);
    for (let n = 1; n < many; n++) {
      const lines = draw();
      const price = this.judge(lines);
      if (price >= least) continue;
      least = price;
      best = lines;
    }
    return best;
  }

  /** Takes lines from elsewhere, e.g. an earlier plan's, into the contest. */
  consider(lines: Lines): void {
    this.keep(this.settle(lines));
  }

  /** What stands without a search: history and duties. */
  atRest(): Activity[] {
    this.dispatcher.floor.restore(null);
    return activitiesOf(this.held);
  }

  /** The activities of the best lines, without fills that serve nothing. Counts as no try: asking changes no search. */
  activities(): Activity[] {
    const { tries } = this;
    if (this.best) this.judge(this.best.lines);
    this.tries = tries;
    return activitiesOf(this.held, this.best ? this.evaluator.useless : []);
  }
}
