import type { Line, Lines } from './deciders.ts';
import type { Segment } from './dispatch.ts';

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

/** Neighbouring segments of one bath are one, unless a rest or a new circuit lies between them. */
export function joined(line: Line): Line {
  const out: Segment[] = [];
  for (const segment of line) {
    const last = out.at(-1);
    if (segment.fills <= 0) continue;
    if (last && last.bath === segment.bath && !last.toEnd && !segment.fresh && segment.notBefore === 0)
      out[out.length - 1] = { ...last, fills: last.fills + segment.fills, toEnd: segment.toEnd };
    else out.push(segment);
  }
  return out;
}
