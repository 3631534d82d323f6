import type { Problem } from '../../scenario/problem/types.ts';
import { type Buckets, reachesOf } from './buckets.ts';
import type { Kind } from './kinds.ts';
import { mostByCircuits, mostFills, mostFillsFrom, mostOnCircuit } from './reach.ts';

/** Most fills that a kind's machines could end in buckets from+1..to, each machine alone in the world. */
export function mostOfKind(
  { rules }: Problem,
  buckets: Buckets,
  kind: Kind,
  [from, to]: readonly [number, number],
): number {
  const { cuts, reach } = buckets;
  const until = cuts[to]!;
  const all = (list: readonly number[]) => list.reduce((a, b) => a + b, 0);
  if (from > 0)
    return all(kind.machines.map((m) => mostFills(reach[m]!, cuts[from]!, until, rules.swapMinutes)));
  const by = (ends: readonly number[]) => ends.filter((end) => end <= until).length;
  const { alone, inTurn } = buckets.ends;
  const bare = kind.machines.filter((m) => inTurn[m]!.length > 0);
  const loaded = kind.machines.filter((m) => inTurn[m]!.length === 0);
  // Circuits are put in one after the other: the nth bare machine begins no earlier than the nth circuit can be done.
  const turns = bare.map((_, n) => Math.max(...bare.map((m) => by(inTurn[m]![n]!))));
  return all(loaded.map((m) => by(alone[m]!))) + Math.min(all(bare.map((m) => by(alone[m]!))), all(turns));
}

/** Most fills that what a machine of a kind does in a bucket bears. */
export function mostIn(
  problem: Problem,
  buckets: Buckets,
  { kind, t, of }: { readonly kind: Kind; readonly t: number; readonly of: typeof mostOnCircuit },
): number {
  const { cuts } = buckets;
  return Math.max(...reachesOf(buckets, kind).map((own) => of(problem, own, cuts[t - 1]!, cuts[t]!)));
}

/** Most fills on the circuit that a machine has at the start, and the last minute at which one can end. */
export function onLoaded(
  { machines, rules, horizon }: Problem,
  { reach }: Buckets,
  index: number,
): { most: number; lastEnd: number } {
  const since = machines[index]!.loaded?.since ?? Number.NEGATIVE_INFINITY;
  const lastEnd = Math.min(since + rules.circuitLife, reach[index]!.endsBy[0]!) - rules.swapMinutes;
  return { most: mostFillsFrom(reach[index]!, 0, Math.min(lastEnd, horizon), rules.swapMinutes), lastEnd };
}

/**
 * Most fills that a machine alone could end in buckets from+1..to, told to `to`, with 0, 1, 2 ... circuits done in them
 * (see `mostByCircuits`).
 */
export function mostOnLine(
  problem: Problem,
  buckets: Buckets,
  index: number,
  from: number,
): (to: number) => number[] {
  const own = buckets.reach[index]!;
  const after = buckets.cuts[from]!;
  const loaded = onLoaded(problem, buckets, index);
  // Done when? Of all that may be there, the one that bears most.
  const onOld = from === 0 ? 0 : Math.max(loaded.most, mostOnCircuit(problem, own, 0, after));
  return (to) => {
    const until = buckets.cuts[to]!;
    const onNew = mostOnCircuit(problem, own, after, until);
    return mostByCircuits(problem, own, { onOld, onNew, after, until, lastEnd: loaded.lastEnd });
  };
}
