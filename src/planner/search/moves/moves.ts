import { MINUTES_A_DAY, type Problem } from '../../../scenario/problem/types.ts';
import type { Chance } from '../../schedule/chance.ts';
import { FULL, type Line, type Lines } from '../../schedule/deciders.ts';
import type { Segment } from '../../schedule/dispatch.ts';
import {
  exchanged,
  exchangedFrom,
  fillsOn,
  firstFrom,
  inserted,
  replaced,
  restedFrom,
  segmentOn,
  without,
} from '../lineEdits.ts';
import { Partners, type Spot } from '../partners.ts';

/** What a move may look at: the schedule that the present lines make. */
export interface Standing {
  /** Parts unserved that a fill could serve, [bath x rounds + round]. */
  readonly unmet: Float64Array;
  /** First minute of each segment and its fills, by machine. */
  readonly starts: readonly Int32Array[];
  readonly placed: readonly Int32Array[];
  /** What each segment begins with: a circuit, a bath change or a fill. */
  readonly first: readonly Uint8Array[];
  /** Whether the reserve lacks bags that a fill could be. */
  readonly reserveShort: boolean;
}

/** How often each move is drawn: by what it was seen to gain on weeks. */
const WEIGHTS = {
  resize: 2,
  shift: 4,
  rebath: 1,
  split: 1,
  flip: 1,
  trade: 1,
  move: 3,
  renew: 1,
  fit: 3,
  barter: 2,
  rest: 1,
  swapBaths: 5,
  handOver: 2,
  tails: 1,
  pause: 2,
  serve: 7,
};
type Kind = keyof typeof WEIGHTS;
const drawnFrom = (kinds: readonly Kind[]) =>
  kinds.flatMap((kind) => Array.from({ length: WEIGHTS[kind] }, () => kind));
const ALL = Object.keys(WEIGHTS) as Kind[];
/** Something is wanting: no time to rest. */
const WANTING = drawnFrom(ALL.filter((kind) => kind !== 'pause'));
/** Nothing is wanting: no need to serve more. */
const SERVED = drawnFrom(ALL.filter((kind) => kind !== 'serve'));

/** How often two segments exchange baths because that saves bath changes, not because they begin at one time. */
const FITTING = 0.8;

/** How often tails are exchanged from one time on. */
const AT_ONE_TIME = 0.5;

/** How often fills for a round, where bags last for no other, are put where they still do for it. */
const IN_TIME = 0.5;

/** A rest of all machines of a source, min. */
const SHORT_REST = 60;
const LONG_REST = 960;

/** How often the shorter one of two segments is taken, in a plan of many of them. */
const SHORTER = 0.7;
const MANY = 100;

/** Makes neighbours of a set of lines: each move changes one or two machines' lines a little. */
export class Moves {
  private readonly problem: Problem;
  private readonly chance: Chance;
  private readonly perCircuit: number;
  private readonly can: boolean[][];
  private readonly partners: Partners;
  /** Whether bags of a fill last for one round only. */
  private readonly oneRound: boolean;
  /** By chance up or down, so that on the average nothing is gained or lost. */
  private readonly rounded = (fills: number): number => Math.floor(fills + this.chance.unit());

  constructor(problem: Problem, chance: Chance) {
    this.problem = problem;
    this.chance = chance;
    const { rules, machines, baths, rounds } = problem;
    const cycle = Math.min(...machines.map((m) => m.shortest)) + rules.swapMinutes;
    this.perCircuit = Math.max(1, Math.floor((rules.circuitLife - rules.circuitMinutes) / cycle));
    this.can = machines.map((m) => baths.map((_, b) => m.baths.includes(b)));
    this.partners = new Partners(chance, this.can);
    const last = rules.swapMinutes + rules.releaseMinutes;
    this.oneRound = rounds.slice(1).every(({ to }, n) => to - rules.shelf > rounds[n]!.at - last);
  }

  /** Where there are many segments, more often one of few fills: those are what changes of bath come from. */
  private pickShort(lines: Lines, standing: Standing): Spot | null {
    const one = this.partners.pick(lines);
    const segments = lines.reduce((sum, line) => sum + line.length, 0);
    if (!one || segments < MANY || this.chance.unit() >= SHORTER) return one;
    const other = this.partners.pick(lines);
    const fills = ({ m, i }: Spot) => standing.placed[m]![i]!;
    return other && fills(other) < fills(one) ? other : one;
  }

  private some(most: number): number {
    return 1 + this.chance.below(Math.max(1, Math.min(most, this.perCircuit)));
  }

  /** A neighbour, or null when the move drawn does not apply. */
  neighbour(lines: Lines, standing: Standing): Line[] | null {
    const empty = ({ fills }: Segment) => fills <= 0;
    const next = lines.length > 0 ? this.moved(lines, standing) : null;
    return next?.map((line) => (line.some(empty) ? line.filter((one) => !empty(one)) : line)) ?? null;
  }

  private moved(lines: Lines, standing: Standing): Line[] | null {
    const drawn = standing.reserveShort || standing.unmet.some((parts) => parts > 0) ? WANTING : SERVED;
    const kind = drawn[this.chance.below(drawn.length)]!;
    const spot = this.pickShort(lines, standing);
    if (!spot || kind === 'serve') return this.serve(lines, standing);
    const { m, i } = spot;
    const line = lines[m]!;
    const segment = line[i]!;
    switch (kind) {
      case 'resize':
        return this.resize(lines, standing, m, i);
      case 'shift':
        return this.shift(lines, standing, m, i);
      case 'rebath':
        return this.rebath(lines, m, i);
      case 'split':
        return this.split(lines, m, i);
      case 'flip': {
        const j = i + 1;
        if (j >= line.length) return null;
        return replaced(lines, m, exchanged(without(line, j), i, line[j]!, segment));
      }
      case 'trade':
        return this.trade(lines, m, i);
      case 'move':
        return this.move(lines, m, i);
      case 'renew':
        if (segment.fills > 1 && this.perCircuit > 1 && this.chance.unit() < 0.7)
          return this.renew(lines, m, i);
        return replaced(lines, m, exchanged(line, i, { ...segment, fresh: !segment.fresh }));
      case 'fit':
        return this.fit(lines, m, i);
      case 'barter':
        return this.barter(lines, standing, m, i);
      case 'rest':
        return this.rest(lines, standing, m, i);
      case 'swapBaths':
        return this.swapBaths(lines, standing, m, i);
      case 'handOver':
        return this.handOver(lines, standing, m, i);
      case 'tails':
        return this.tails(lines, standing, m, i);
      case 'pause':
        return this.pause(lines, standing, m, i);
    }
  }

  private resize(lines: Lines, standing: Standing, m: number, i: number): Line[] {
    const line = lines[m]!;
    const segment = line[i]!;
    // What was placed, not what was asked for: one more or less of fills that found no room changes nothing.
    const placed = standing.placed[m]![i]!;
    const present = placed > 0 ? Math.min(placed, segment.fills) : segment.fills;
    const fills = Math.max(0, present + (this.chance.unit() < 0.5 ? -1 : 1) * this.some(3));
    return replaced(lines, m, exchanged(line, i, { ...segment, fills }));
  }

  /** A segment lasts as long as its circuit, or no longer does. */
  private fit(lines: Lines, m: number, i: number): Line[] {
    const segment = lines[m]![i]!;
    const next = segment.toEnd
      ? { ...segment, toEnd: false, fills: this.some(this.perCircuit) }
      : { ...segment, toEnd: true, fills: FULL };
    return replaced(lines, m, exchanged(lines[m]!, i, next));
  }

  /** Some fills of a bath are made by another segment of it instead. */
  private shift(lines: Lines, standing: Standing, m: number, i: number): Line[] | null {
    const { bath, fills } = lines[m]![i]!;
    const placed = standing.placed[m]![i] ?? 0;
    if (placed === 0) return null;
    const moved = this.chance.unit() < 0.4 ? placed : Math.min(placed, this.some(4));
    const given = this.give(lines, standing, bath, moved, m, i);
    if (!given) return null;
    const line = given[m]!;
    const left = fills >= FULL ? placed - moved : Math.max(0, fills - moved);
    return replaced(given, m, exchanged(line, i, { ...line[i]!, fills: left, toEnd: false }));
  }

  /** Another segment of the bath makes so many fills more (less, below 0); null when none is found. */
  private give(
    lines: Lines,
    standing: Standing,
    bath: number,
    more: number,
    notM: number,
    notI: number,
  ): Line[] | null {
    for (let tries = 0; tries < 8; tries++) {
      const spot = this.partners.pick(lines);
      if (!spot || (spot.m === notM && spot.i === notI)) continue;
      const segment = lines[spot.m]![spot.i]!;
      if (segment.bath !== bath || (more > 0 && segment.fills >= FULL)) continue;
      const placed = standing.placed[spot.m]![spot.i] ?? 0;
      const own = Math.sign(more) * this.fillsOn(spot.m, Math.abs(more), notM);
      const fills = Math.max(0, (segment.fills >= FULL ? placed : segment.fills) + own);
      return replaced(
        lines,
        spot.m,
        lines[spot.m]!.map((other, k) => (k === spot.i ? { ...segment, fills, toEnd: false } : other)),
      );
    }
    return null;
  }

  /** A segment takes the bath of a neighbour; other segments make up for what is lost and what is gained. */
  private barter(lines: Lines, standing: Standing, m: number, i: number): Line[] | null {
    const segment = lines[m]![i]!;
    const near = lines[m]![this.chance.unit() < 0.5 ? i - 1 : i + 1];
    const bath = near && this.chance.unit() < 0.8 ? near.bath : this.chance.below(this.problem.baths.length);
    const placed = standing.placed[m]![i] ?? 0;
    if (bath === segment.bath || !this.can[m]![bath] || placed === 0) return null;
    const lost = this.give(lines, standing, segment.bath, placed, m, i);
    const both = lost && this.give(lost, standing, bath, -placed, m, i);
    if (!both) return null;
    return replaced(both, m, exchanged(both[m]!, i, { ...both[m]![i]!, bath }));
  }

  /** Two segments, near in time, change their baths; each keeps its place, and its length or the shorter one's. */
  private swapBaths(lines: Lines, standing: Standing, m: number, i: number): Line[] | null {
    const a = lines[m]![i]!;
    const near =
      this.chance.unit() < FITTING
        ? this.partners.fitting(lines, standing, m, i)
        : this.partners.nearest(lines, standing, m, i);
    if (!near) return null;
    const b = lines[near.m]![near.i]!;
    const fillsOfA = standing.placed[m]![i]!;
    const fillsOfB = standing.placed[near.m]![near.i]!;
    const shorter = Math.min(fillsOfA, fillsOfB);
    if (shorter === 0) return null;
    const whole = this.chance.unit() < 0.6 || near.m === m;
    const turned = (line: Line, at: number, fills: number, bath: number): Line =>
      whole || fills === shorter
        ? exchanged(line, at, { ...line[at]!, bath })
        : this.partTurned(line, at, fills, shorter, bath);
    const once = replaced(lines, m, turned(lines[m]!, i, fillsOfA, b.bath));
    return replaced(once, near.m, turned(once[near.m]!, near.i, fillsOfB, a.bath));
  }

  /** The first or the last n of a segment's fills are of another bath. */
  private partTurned(line: Line, at: number, fills: number, n: number, bath: number): Line {
    const segment = line[at]!;
    const open = segment.fills >= FULL;
    const second = { fresh: false, notBefore: 0 };
    return this.chance.unit() < 0.5
      ? exchanged(
          line,
          at,
          { ...segment, bath, fills: n, toEnd: false },
          { ...segment, ...second, fills: open ? FULL : segment.fills - n },
        )
      : exchanged(
          line,
          at,
          { ...segment, fills: fills - n, toEnd: false },
          { ...segment, ...second, bath, fills: open ? FULL : n },
        );
  }

  private rebath(lines: Lines, m: number, i: number): Line[] | null {
    const bath = this.chance.below(this.problem.baths.length);
    const segment = lines[m]![i]!;
    if (bath === segment.bath || !this.can[m]![bath]) return null;
    return replaced(lines, m, exchanged(lines[m]!, i, { ...segment, bath }));
  }

  private split(lines: Lines, m: number, i: number): Line[] | null {
    const segment = lines[m]![i]!;
    if (segment.fills < 2 || this.perCircuit < 2) return null;
    const head = 1 + this.chance.below(Math.min(segment.fills, this.perCircuit) - 1);
    const tail = {
      ...segment,
      fills: Math.min(segment.fills, this.perCircuit) - head,
      notBefore: 0,
      fresh: false,
    };
    const to = this.chance.below(lines.length);
    if (!this.can[to]![segment.bath]) return null;
    const shorter = replaced(lines, m, exchanged(lines[m]!, i, { ...segment, fills: head, toEnd: false }));
    const line = shorter[to]!;
    return replaced(shorter, to, inserted(line, this.chance.below(line.length + 1), tail));
  }

  /** A new circuit somewhere within a segment. */
  private renew(lines: Lines, m: number, i: number): Line[] {
    const segment = lines[m]![i]!;
    const head = 1 + this.chance.below(Math.min(segment.fills, this.perCircuit) - 1);
    const tail = {
      ...segment,
      fills: segment.fills >= FULL ? FULL : segment.fills - head,
      fresh: true,
      notBefore: 0,
    };
    return replaced(lines, m, exchanged(lines[m]!, i, { ...segment, fills: head, toEnd: false }, tail));
  }

  /** Two segments change places, also between machines. */
  private trade(lines: Lines, m: number, i: number): Line[] | null {
    const other = this.partners.pick(lines);
    if (!other || (other.m === m && other.i === i)) return null;
    const a = lines[m]![i]!;
    const b = lines[other.m]![other.i]!;
    if (!this.can[m]![b.bath] || !this.can[other.m]![a.bath]) return null;
    const once = replaced(
      lines,
      m,
      lines[m]!.map((segment, k) => (k === i ? this.on(m, b, other.m) : segment)),
    );
    return replaced(
      once,
      other.m,
      once[other.m]!.map((segment, k) => (k === other.i ? this.on(other.m, a, m) : segment)),
    );
  }

  private move(lines: Lines, m: number, i: number): Line[] | null {
    const segment = lines[m]![i]!;
    const to = this.chance.below(lines.length);
    if (!this.can[to]![segment.bath]) return null;
    const taken = replaced(lines, m, without(lines[m]!, i));
    const line = taken[to]!;
    return replaced(taken, to, inserted(line, this.chance.below(line.length + 1), this.on(to, segment, m)));
  }

  /** Fills that make as many bags on another machine, about. */
  private fillsOn(to: number, fills: number, from: number): number {
    return fillsOn(this.problem, to, fills, from, this.rounded);
  }

  /** A segment as it is on another machine. */
  private on(to: number, segment: Segment, from: number): Segment {
    return segmentOn(this.problem, to, segment, from, this.rounded);
  }

  /** A few segments in a row go over to another machine, to where it is at their time. */
  private handOver(lines: Lines, standing: Standing, m: number, i: number): Line[] | null {
    const to = this.chance.below(lines.length);
    const line = lines[m]!;
    const count = 1 + this.chance.below(3);
    const row = line.slice(i, i + count);
    if (to === m || row.some(({ bath }) => !this.can[to]![bath])) return null;
    const at = firstFrom(lines[to]!, standing.starts[to]!, standing.starts[m]![i]!);
    const moved = row.map((segment) => this.on(to, segment, m));
    if (this.chance.unit() < 0.5) moved[0] = { ...moved[0]!, fresh: true };
    const after = line.slice(i + count);
    // What follows keeps its time, or moves up.
    if (after[0] && this.chance.unit() < 0.5)
      after[0] = { ...after[0], notBefore: standing.starts[m]![i + count]! };
    const left = replaced(lines, m, [...line.slice(0, i), ...after]);
    return replaced(left, to, inserted(lines[to]!, at, ...moved));
  }

  /** Rest before a segment, until a while after it would have begun; or no rest. */
  private rest(lines: Lines, standing: Standing, m: number, i: number): Line[] {
    const segment = lines[m]![i]!;
    const start = standing.starts[m]![i] ?? 0;
    const by = (this.chance.unit() < 0.5 ? 15 : 180) * (this.chance.unit() - 0.4);
    const notBefore =
      segment.notBefore > 0 && this.chance.unit() < 0.5
        ? 0
        : Math.max(0, Math.min(this.problem.horizon - 1, Math.round(start + by)));
    return replaced(lines, m, exchanged(lines[m]!, i, { ...segment, notBefore }));
  }

  /**
   * All machines of a source rest at one time, since a source at rest needs no tests: from where a segment begins. Where
   * it rests before, the rests about that time are moved or left out together.
   */
  private pause(lines: Lines, standing: Standing, m: number, i: number): Line[] | null {
    const { machines, horizon, rules } = this.problem;
    const at = standing.starts[m]![i]!;
    if (at >= horizon) return null;
    const minute = (time: number) => Math.max(1, Math.min(horizon - 1, Math.round(time)));
    const together = (change: (line: Line, n: number) => Line) =>
      lines.map((line, n) => (machines[n]!.water === machines[m]!.water ? change(line, n) : line));
    const rested = lines[m]![i]!.notBefore;
    if (rested > 0 && this.chance.unit() < 0.7) {
      const near = 30 + 300 * this.chance.unit();
      const by = (this.chance.unit() < 0.5 ? 120 : 480) * (this.chance.unit() - 0.5);
      const then = this.chance.unit() < 0.5 ? () => 0 : (time: number) => minute(time + by);
      return together((line) =>
        line.map((segment) =>
          segment.notBefore > 0 && Math.abs(segment.notBefore - rested) < near
            ? { ...segment, notBefore: then(segment.notBefore) }
            : segment,
        ),
      );
    }
    const until = minute(at + SHORT_REST * (LONG_REST / SHORT_REST) ** this.chance.unit());
    return together((line, n) => {
      const cycle = machines[n]!.shortest + rules.swapMinutes;
      return restedFrom(line, standing.starts[n]!, standing.placed[n]!, cycle, at, until);
    });
  }

  /** Two machines exchange all that follows a segment's time, or one point of each line. */
  private tails(lines: Lines, standing: Standing, m: number, at: number): Line[] | null {
    const n = this.chance.below(lines.length);
    if (n === m) return null;
    const { starts } = standing;
    if (this.chance.unit() < AT_ONE_TIME)
      return exchangedFrom(this.problem, lines, starts, m, n, starts[m]![at]!);
    const a = lines[m]!;
    const b = lines[n]!;
    const i = this.chance.below(a.length + 1);
    const j = this.chance.below(b.length + 1);
    const left = [...a.slice(0, i), ...b.slice(j)];
    const right = [...b.slice(0, j), ...a.slice(i)];
    if (left.some((s) => !this.can[m]![s.bath]) || right.some((s) => !this.can[n]![s.bath])) return null;
    return replaced(replaced(lines, m, left), n, right);
  }

  /** First minute at which a machine can begin bags that do not expire before a minute; 0: any. */
  private opens(m: number, until: number): number {
    const { machines, rules } = this.problem;
    return Math.max(0, until - rules.shelf - machines[m]!.shortest - rules.circuitMinutes);
  }

  /** A need that wants bags, and a machine that may make them: the bath, when they are due and when they may begin. */
  private aim(standing: Standing): { bath: number; due: number; opens: number; m: number } | null {
    const { rounds, baths, horizon } = this.problem;
    const wanting: number[] = [];
    for (let k = 0; k < standing.unmet.length; k++) if (standing.unmet[k]! > 0) wanting.push(k);
    const k = wanting.length > 0 ? wanting[this.chance.below(wanting.length)]! : -1;
    const bath = k >= 0 ? Math.floor(k / rounds.length) : this.chance.below(baths.length);
    const round = rounds[k % rounds.length];
    const m = this.chance.below(standing.starts.length);
    const opens = this.opens(m, round ? round.to : horizon + MINUTES_A_DAY);
    return this.can[m]![bath] ? { bath, due: round?.at ?? horizon, opens, m } : null;
  }

  /** Where in a line fills for an aim may stand, and the minute that they have to wait for there. */
  private place(
    lines: Lines,
    standing: Standing,
    { m, due, opens }: { m: number; due: number; opens: number },
  ): { at: number; notBefore: number } {
    const line = lines[m]!;
    const starts = standing.starts[m]!;
    const before = firstFrom(line, starts, due);
    const after =
      this.oneRound && this.chance.unit() < IN_TIME ? Math.min(before, firstFrom(line, starts, opens)) : 0;
    const at = after + this.chance.below(before - after + 1);
    const cycle = this.problem.machines[m]!.shortest + this.problem.rules.swapMinutes;
    const idleFrom = at > 0 ? starts[at - 1]! + standing.placed[m]![at - 1]! * cycle : 0;
    const idle = idleFrom + cycle < opens && (at === line.length || starts[at]! > opens);
    return { at, notBefore: idle ? opens : 0 };
  }

  /** More fills of a bath that wants some, in time for the round that wants them. */
  private serve(lines: Lines, standing: Standing): Line[] | null {
    const aim = this.aim(standing);
    if (!aim) return null;
    const { m, bath } = aim;
    const line = lines[m]!;
    const { at, notBefore } = this.place(lines, standing, aim);
    const add = this.some(this.chance.unit() < 0.5 ? 2 : 8);
    const here = line[at];
    if (here && here.bath === bath)
      return replaced(lines, m, exchanged(line, at, { ...here, fills: Math.min(FULL, here.fills + add) }));
    const fresh = { bath, fills: add, toEnd: false, fresh: false, notBefore };
    // Instead of as many fills of what stands there, or on top of them.
    if (here && this.chance.unit() < 0.6) {
      const less = { ...here, fills: here.fills >= FULL ? FULL : Math.max(0, here.fills - add) };
      return replaced(
        lines,
        m,
        this.chance.unit() < 0.5 ? exchanged(line, at, fresh, less) : exchanged(line, at, less, fresh),
      );
    }
    return replaced(lines, m, inserted(line, at, fresh));
  }
}
