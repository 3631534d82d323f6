import { MINUTES_A_DAY, type Problem } from '../../../scenario/problem/types.ts';
import { FULL, type Line, type Lines, type Segment } from '../../schedule/segment.ts';
import type { Chance } from '../chance.ts';
import { fillsOn, replaced, segmentOn } from '../lineEdits.ts';
import { Partners } from '../partners.ts';
import type { Spot, Standing } from '../standing.ts';

/** Bags of this life or less, min, are seldom made on another day instead. */
const SHORT_LIFE = 2 * MINUTES_A_DAY;
/** How often then the segment near in time is taken. */
const NEAR = 0.7;
/** Spots drawn for a segment that fits. */
const DRAWN = 8;

/** A neighbour of the lines at hand, or null where the move does not apply. */
export type Move = (turn: Turn) => Line[] | null;

/** What a move is made from: the lines, how they stand, the segment drawn, and chance. */
export class Turn {
  readonly problem: Problem;
  readonly chance: Chance;
  readonly partners: Partners;
  /** Whether a machine can run a bath, [machine][bath]. */
  readonly can: readonly (readonly boolean[])[];
  /** Fills that a circuit has life for. */
  readonly perCircuit: number;
  /** Bags and circuits last so short that a fill hardly ever stands in for one of another day. */
  readonly shortLived: boolean;
  lines: Lines = [];
  standing!: Standing;
  /** Machine and place in its line of the segment drawn. */
  m = 0;
  i = 0;

  constructor(problem: Problem, chance: Chance) {
    this.problem = problem;
    this.chance = chance;
    const { rules, machines, baths } = problem;
    const cycle = Math.min(...machines.map((m) => m.shortest)) + rules.swapMinutes;
    this.perCircuit = Math.max(1, Math.floor((rules.circuitLife - rules.circuitMinutes) / cycle));
    this.shortLived = rules.shelf <= SHORT_LIFE && rules.circuitLife < MINUTES_A_DAY;
    this.can = machines.map((m) => baths.map((_, b) => m.baths.includes(b)));
    this.partners = new Partners(chance, this.can);
  }

  get spot(): Spot {
    return { m: this.m, i: this.i };
  }

  get line(): Line {
    return this.lines[this.m]!;
  }

  get segment(): Segment {
    return this.line[this.i]!;
  }

  /** Fills of the segment drawn that found room. */
  get placed(): number {
    return this.standing.placed[this.m]![this.i] ?? 0;
  }

  /** True by chance, so often. */
  heads(share = 0.5): boolean {
    return this.chance.unit() < share;
  }

  /** 1 to `most`, never more than a circuit has life for. */
  some(most: number): number {
    return 1 + this.chance.below(Math.max(1, Math.min(most, this.perCircuit)));
  }

  /** The lines with another one for the machine drawn. */
  with(line: Line): Line[] {
    return replaced(this.lines, this.m, line);
  }

  /** By chance up or down, so that on the average nothing is gained or lost. */
  private readonly rounded = (fills: number): number => Math.floor(fills + this.chance.unit());

  /** Fills that make as many bags on another machine, about. */
  fillsOn(to: number, fills: number, from: number): number {
    return fillsOn(this.problem, fills, { from, to }, this.rounded);
  }

  /** A segment as it is on another machine. */
  on(to: number, segment: Segment, from: number): Segment {
    return segmentOn(this.problem, segment, { from, to }, this.rounded);
  }

  /** Another segment of a bath by chance, perhaps the nearest in time of some; null when none is found. */
  private other(lines: Lines, bath: number, open: boolean): Spot | null {
    const { starts } = this.standing;
    const here = starts[this.m]![this.i]!;
    const near = this.shortLived && this.heads(NEAR);
    let found: Spot | null = null;
    let least = Number.POSITIVE_INFINITY;
    for (let tries = 0; tries < DRAWN; tries++) {
      const spot = this.partners.pick(lines);
      if (!spot || (spot.m === this.m && spot.i === this.i)) continue;
      const segment = lines[spot.m]![spot.i]!;
      if (segment.bath !== bath || (!open && segment.fills >= FULL)) continue;
      if (!near) return spot;
      const apart = Math.abs((starts[spot.m]![spot.i] ?? 0) - here);
      if (apart >= least) continue;
      least = apart;
      found = spot;
    }
    return found;
  }

  /** Of these lines another segment of the bath makes so many fills more (less, below 0) than the one drawn does; null when none is found. */
  give(lines: Lines, bath: number, more: number): Line[] | null {
    const spot = this.other(lines, bath, more <= 0);
    if (!spot) return null;
    const segment = lines[spot.m]![spot.i]!;
    const placed = this.standing.placed[spot.m]![spot.i] ?? 0;
    const own = Math.sign(more) * this.fillsOn(spot.m, Math.abs(more), this.m);
    const fills = Math.max(0, (segment.fills >= FULL ? placed : segment.fills) + own);
    return replaced(
      lines,
      spot.m,
      lines[spot.m]!.map((other, k) => (k === spot.i ? { ...segment, fills, toEnd: false } : other)),
    );
  }
}
