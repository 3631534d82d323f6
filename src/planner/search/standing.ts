import type { Evaluator } from '../schedule/evaluate.ts';
import { type Occupancy, STRIDE } from '../schedule/occupancy.ts';
import type { Lines } from '../schedule/segment.ts';
import { FILL } from '../schedule/work.ts';
import type { OutOfReach } from './outOfReach.ts';

/** A segment: machine and place in its line. */
export interface Spot {
  readonly m: number;
  readonly i: number;
}

/** What a move may look at: the schedule that the present lines make. */
export interface Standing {
  /** Parts unserved that a fill could serve, [bath x rounds + round]. */
  readonly unmet: Float64Array;
  /** Rounds after which stock is wanting that a fill could be, as numbers in `unmet`. */
  readonly lowStock: readonly number[];
  /** First minute of each segment and its fills, by machine. */
  readonly starts: readonly Int32Array[];
  readonly placed: readonly Int32Array[];
  /** What each segment begins with: a circuit, a bath change or a fill. */
  readonly first: readonly Uint8Array[];
  /** Whether the reserve at the end lacks bags that a fill could be. */
  readonly reserveShort: boolean;
}

/** How lines stand that were just dispatched and judged. */
export function standingOf(
  lines: Lines,
  { ops, count, problem }: Occupancy,
  judged: Evaluator,
  { rounds, reserveParts }: OutOfReach,
): Standing {
  const starts = lines.map((line) => new Int32Array(line.length).fill(problem.horizon));
  const placed = lines.map((line) => new Int32Array(line.length));
  const first = lines.map((line) => new Uint8Array(line.length).fill(FILL));
  for (let i = count - 1; i >= 0; i--) {
    const at = i * STRIDE;
    const segment = ops[at + 5]!;
    if (ops[at]! > FILL || segment < 0) continue;
    starts[ops[at + 1]!]![segment] = ops[at + 3]!;
    first[ops[at + 1]!]![segment] = ops[at]!;
    if (ops[at] === FILL) placed[ops[at + 1]!]![segment]! += 1;
  }
  const unmet = judged.unmet.slice();
  for (let index = 0; index < unmet.length; index++) if (rounds[index] === 1) unmet[index] = 0;
  const lowStock: number[] = [];
  judged.spare.forEach((parts, index) => {
    if (parts < 0 && rounds[index] !== 1) lowStock.push(index);
  });
  const reserveShort = judged.reserveShortParts - judged.stockShortParts > reserveParts + 1e-6;
  return { unmet, lowStock, starts, placed, first, reserveShort };
}
