import type { Problem } from '../../../scenario/problem/types.ts';
import type { Line, Lines, Segment } from '../../schedule/segment.ts';
import type { Chance } from '../chance.ts';
import type { Spot, Standing } from '../standing.ts';
import { barter } from './barter.ts';
import { dissolve } from './dissolve.ts';
import { fit } from './fit.ts';
import { flip } from './flip.ts';
import { giveTurn, takesTurns } from './giveTurn.ts';
import { handOver } from './handOver.ts';
import { move } from './move.ts';
import { pause } from './pause.ts';
import { rebath } from './rebath.ts';
import { renew } from './renew.ts';
import { resize } from './resize.ts';
import { rest } from './rest.ts';
import { serveFor } from './serve.ts';
import { shift } from './shift.ts';
import { split } from './split.ts';
import { swapBaths } from './swapBaths.ts';
import { tails } from './tails.ts';
import { trade } from './trade.ts';
import { type Move, Turn } from './turn.ts';

/** How often each move is drawn: by what it was seen to gain on weeks. */
const OFTEN: readonly (readonly [move: Move, times: number])[] = [
  [resize, 2],
  [shift, 4],
  [rebath, 1],
  [split, 1],
  [flip, 1],
  [trade, 1],
  [move, 3],
  [renew, 1],
  [fit, 3],
  [barter, 2],
  [rest, 1],
  [swapBaths, 5],
  [handOver, 2],
  [tails, 1],
];
const PAUSES = 2;
const SERVES = 7;
const TURNS = 6;
const DISSOLVES = 3;
const times = (move: Move, often: number): Move[] => Array.from({ length: often }, () => move);

/** How often the shorter one of two segments is taken, in a plan of many of them. */
const SHORTER = 0.7;
const MANY = 100;

/** Makes neighbours of a set of lines: each move changes one or two machines' lines a little. */
export class Moves {
  private readonly turn: Turn;
  private readonly serve: Move;
  /** Something is wanting: no time to rest. Nothing is: no need to serve more. */
  private readonly wanting: readonly Move[];
  private readonly served: readonly Move[];

  constructor(problem: Problem, chance: Chance) {
    this.turn = new Turn(problem, chance);
    this.serve = serveFor(problem);
    const usual = OFTEN.flatMap(([one, often]) => times(one, often));
    const drawn = [
      ...usual,
      ...(takesTurns(problem) ? times(giveTurn, TURNS) : []),
      ...(this.turn.shortLived ? times(dissolve, DISSOLVES) : []),
    ];
    this.wanting = [...drawn, ...times(this.serve, SERVES)];
    this.served = [...drawn, ...times(pause, PAUSES)];
  }

  /** Where there are many segments, more often one of few fills: those are what changes of bath come from. */
  private pickShort(lines: Lines, standing: Standing): Spot | null {
    const { chance, partners } = this.turn;
    const one = partners.pick(lines);
    const segments = lines.reduce((sum, line) => sum + line.length, 0);
    if (!one || segments < MANY || chance.unit() >= SHORTER) return one;
    const other = partners.pick(lines);
    const fills = ({ m, i }: Spot) => standing.placed[m]![i]!;
    return other && fills(other) < fills(one) ? other : one;
  }

  /** A neighbour, or null when the move drawn does not apply. */
  neighbour(lines: Lines, standing: Standing): Line[] | null {
    const empty = ({ fills }: Segment) => fills <= 0;
    const next = lines.length > 0 ? this.moved(lines, standing) : null;
    return next?.map((line) => (line.some(empty) ? line.filter((one) => !empty(one)) : line)) ?? null;
  }

  private moved(lines: Lines, standing: Standing): Line[] | null {
    const { turn } = this;
    const short =
      standing.reserveShort || standing.lowStock.length > 0 || standing.unmet.some((parts) => parts > 0);
    const drawn = short ? this.wanting : this.served;
    const made = drawn[turn.chance.below(drawn.length)]!;
    const spot = this.pickShort(lines, standing);
    turn.lines = lines;
    turn.standing = standing;
    if (!spot) return this.serve(turn);
    turn.m = spot.m;
    turn.i = spot.i;
    return made(turn);
  }
}
