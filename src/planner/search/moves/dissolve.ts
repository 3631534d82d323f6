import type { Line, Lines, Segment } from '../../schedule/segment.ts';
import { CIRCUIT } from '../../schedule/work.ts';
import { firstFrom, inserted, replaced } from '../lineEdits.ts';
import type { Spot } from '../standing.ts';
import type { Move, Turn } from './turn.ts';

/** How often what a circuit made is added to the nearest segment of its bath, where there is one, not made behind another. */
const TO_ITS_BATH = 0.75;

/** The segments made on one circuit, from the one that begins with it up to the next that does. */
function onCircuit({ line, standing, m, i }: Turn): { readonly from: number; readonly to: number } {
  const first = standing.first[m]!;
  let from = i;
  while (from > 0 && first[from] !== CIRCUIT) from--;
  let to = i + 1;
  while (to < line.length && first[to] !== CIRCUIT) to++;
  return { from, to };
}

/** Of the segments of a bath elsewhere the nearest in time, about; null: none is as near as bags last. */
function nearestOf(turn: Turn, bath: number, at: number): Spot | null {
  const { lines, standing, chance, problem, m } = turn;
  let best: Spot | null = null;
  let least = problem.rules.shelf;
  for (let n = 0; n < lines.length; n++) {
    if (n === m) continue;
    for (let k = 0; k < lines[n]!.length; k++) {
      if (lines[n]![k]!.bath !== bath) continue;
      const apart = Math.abs(standing.starts[n]![k]! - at) * (0.5 + chance.unit());
      if (apart >= least) continue;
      least = apart;
      best = { m: n, i: k };
    }
  }
  return best;
}

/** What one circuit made is made on others, near in time: added to segments of its bath, or put between others. */
export const dissolve: Move = (turn) => {
  const { lines, line, standing, m, chance, can } = turn;
  if (lines.length < 2) return null;
  const { from, to } = onCircuit(turn);
  const after = line.slice(to);
  // What follows keeps its time.
  const next = after[0];
  if (next && next.notBefore === 0 && turn.heads())
    after[0] = { ...next, notBefore: standing.starts[m]![to]! };
  let made: Lines = replaced(lines, m, [...line.slice(0, from), ...after]);
  const more = new Map<Segment, Segment>();
  const added: { readonly n: number; readonly at: number; readonly segment: Segment }[] = [];
  for (let k = from; k < to; k++) {
    const fills = standing.placed[m]![k]!;
    const { bath } = line[k]!;
    if (fills === 0) continue;
    const at = standing.starts[m]![k]!;
    const near = turn.heads(TO_ITS_BATH) ? nearestOf(turn, bath, at) : null;
    if (near) {
      const old = lines[near.m]![near.i]!;
      const now = more.get(old) ?? old;
      const present = now.toEnd ? standing.placed[near.m]![near.i]! : now.fills;
      more.set(old, { ...now, toEnd: false, fills: present + turn.fillsOn(near.m, fills, m) });
      continue;
    }
    const n = (m + 1 + chance.below(lines.length - 1)) % lines.length;
    if (!can[n]![bath]) return null;
    const place = Math.min(lines[n]!.length, firstFrom(lines[n]!, standing.starts[n]!, at) + chance.below(2));
    const own = { bath, fills: turn.fillsOn(n, fills, m), toEnd: false, fresh: false, notBefore: 0 };
    added.push({ n, at: place, segment: own });
  }
  for (const { n, at, segment } of added.sort((a, b) => b.at - a.at))
    made = replaced(made, n, inserted(made[n]!, at, segment));
  return made.map((one) => (one.some((s) => more.has(s)) ? one.map((s) => more.get(s) ?? s) : one) as Line);
};
