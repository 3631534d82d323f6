import type { Problem } from '../../scenario/problem/types.ts';
import { FULL, type Line, type Lines, type Segment } from '../schedule/segment.ts';
import type { Standing } from './standing.ts';

/** The lines with another one for a machine. */
export const replaced = (lines: Lines, machine: number, line: Line): Line[] => {
  const copy = lines.slice();
  copy[machine] = line;
  return copy;
};
export const without = (line: Line, at: number): Line => [...line.slice(0, at), ...line.slice(at + 1)];
export const inserted = (line: Line, at: number, ...segments: Segment[]): Line => [
  ...line.slice(0, at),
  ...segments.filter((segment) => segment.fills > 0),
  ...line.slice(at),
];
export const exchanged = (line: Line, at: number, ...segments: Segment[]): Line =>
  inserted(without(line, at), at, ...segments);

/** First segment of a line that begins at a minute or later. */
export function firstFrom(line: Line, starts: ArrayLike<number>, minute: number): number {
  let i = 0;
  while (i < line.length && starts[i]! < minute) i++;
  return i;
}

/** From one machine to another. */
interface Over {
  readonly from: number;
  readonly to: number;
}

/** Fills of one machine that make as many bags on another, rounded as told; of some at least one. */
export const fillsOn = (
  { machines }: Problem,
  fills: number,
  { from, to }: Over,
  rounded: (fills: number) => number,
): number =>
  fills === 0 ? 0 : Math.max(1, rounded((fills * machines[from]!.usable) / machines[to]!.usable));

/** A segment of one machine as it is on another. */
export const segmentOn = (
  problem: Problem,
  segment: Segment,
  over: Over,
  rounded: (fills: number) => number,
): Segment =>
  segment.fills >= FULL ? segment : { ...segment, fills: fillsOn(problem, segment.fills, over, rounded) };

/**
 * Two machines' lines exchanged from a minute on, in fills that make about as many bags; null where one cannot run a bath
 * of the other's, or nothing changes.
 * @param starts first minute of each segment as the lines are scheduled now
 */
export function exchangedFrom(
  problem: Problem,
  lines: Lines,
  starts: Standing['starts'],
  { m, n, from }: { readonly m: number; readonly n: number; readonly from: number },
): Line[] | null {
  const [i, j] = [m, n].map((k) => firstFrom(lines[k]!, starts[k]!, from));
  const later = (to: number, own: number, at: number) =>
    lines[own]!.slice(at).map((segment) => segmentOn(problem, segment, { from: own, to }, Math.round));
  const a = later(m, n, j!);
  const b = later(n, m, i!);
  const cannot = (k: number, line: Line) =>
    line.some(({ bath }) => !problem.machines[k]!.baths.includes(bath));
  if (a.length + b.length === 0 || cannot(m, a) || cannot(n, b)) return null;
  return replaced(replaced(lines, m, [...lines[m]!.slice(0, i), ...a]), n, [...lines[n]!.slice(0, j), ...b]);
}

const waits = ({ notBefore, hold = 0 }: Segment): boolean => notBefore > 0 || hold > 0;

/** Neighbouring segments of one bath are one, unless a rest or a new circuit lies between them. */
export function joined(line: Line): Line {
  const out: Segment[] = [];
  for (const segment of line) {
    const last = out.at(-1);
    if (segment.fills <= 0) continue;
    if (last && last.bath === segment.bath && !last.toEnd && !segment.fresh && !waits(segment))
      out[out.length - 1] = { ...last, fills: last.fills + segment.fills, toEnd: segment.toEnd };
    else out.push(segment);
  }
  return out;
}

/** How a line is scheduled now. */
interface Scheduled {
  /** First minute of each segment, and its fills. */
  readonly starts: ArrayLike<number>;
  readonly placed: ArrayLike<number>;
  /** From one fill to the next, min. */
  readonly cycle: number;
}

/** What a line would begin from one minute on begins from another one on; a segment under way at the first is cut. */
export function restedFrom(
  line: Line,
  { starts, placed, cycle }: Scheduled,
  from: number,
  until: number,
): Line {
  const next = firstFrom(line, starts, from);
  const at = next - 1;
  const before = line[at];
  const begun = before ? Math.round((from - starts[at]!) / cycle) : 0;
  if (before && begun < placed[at]!) {
    if (begun === 0) return exchanged(line, at, { ...before, notBefore: until });
    const head = { ...before, fills: begun, toEnd: false };
    const fills = before.fills >= FULL ? FULL : before.fills - begun;
    return exchanged(line, at, head, { ...before, fills, fresh: false, notBefore: until });
  }
  const after = line[next];
  return after ? exchanged(line, next, { ...after, notBefore: Math.max(after.notBefore, until) }) : line;
}
