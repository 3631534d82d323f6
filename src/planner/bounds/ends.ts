import type { Problem } from '../../scenario/problem/types.ts';
import { earliestEnds, mostOnCircuit, type Reach } from './reach.ts';

/** Earliest ends of each machine's first, second ... fill, by machine number. */
export interface Ends {
  /** [machine][n] */
  readonly alone: readonly (readonly number[])[];
  /** The same when its first circuit is the kth of all to be put in, [machine][k][n]; empty: it has one at the start. */
  readonly inTurn: readonly (readonly (readonly number[])[])[];
}

/** For each number of new circuits the first minute by which those on shift could have done that many. */
export function circuitsDone(
  { machines, staff, horizon, rules }: Problem,
  runnable: readonly Uint8Array[],
): number[] {
  const { hands, circuitMinutes } = rules;
  if (hands.circuit === 0) return machines.map(() => 0);
  const done: number[] = [];
  let began = -1;
  let minutes = 0;
  let most = 0;
  for (let t = 0; t < horizon && done.length < machines.length; t++) {
    if (staff[t] === 0 || (began < 0 && runnable.every((source) => source[t] === 0))) continue;
    if (began < 0) began = t;
    minutes += staff[t]!;
    most = Math.max(most, staff[t]!);
    const inTurn = Math.floor(most / hands.circuit) * Math.floor((t + 1 - began) / circuitMinutes);
    while (done.length < Math.min(inTurn, Math.floor(minutes / (hands.circuit * circuitMinutes))))
      done.push(t + 1);
  }
  while (done.length < machines.length) done.push(horizon + 1);
  return done;
}

/** @param nthCircuit see `circuitsDone` */
export function endsOf(
  problem: Problem,
  reach: readonly (Reach | null)[],
  nthCircuit: readonly number[],
): Ends {
  const { rules, horizon, machines } = problem;
  const known = new Map<Reach, { alone: number[]; inTurn: number[][]; onCircuit: number }>();
  const rows = machines.map(({ loaded }, index) => {
    const own = reach[index];
    if (!own) return { alone: [], inTurn: [] };
    let bare = known.get(own);
    if (!bare) {
      const onCircuit = mostOnCircuit(problem, own, 0, horizon);
      const from = (start: number) =>
        earliestEnds(problem, own, { onCircuit, start, lastEnd: Number.NEGATIVE_INFINITY });
      bare = { onCircuit, alone: from(0), inTurn: nthCircuit.map(from) };
      known.set(own, bare);
    }
    const since = loaded?.since ?? Number.NEGATIVE_INFINITY;
    const lastEnd = Math.min(since + rules.circuitLife, own.endsBy[0]!);
    if (lastEnd <= 0) return bare;
    return {
      alone: earliestEnds(problem, own, {
        onCircuit: bare.onCircuit,
        start: 0,
        lastEnd: lastEnd - rules.swapMinutes,
      }),
      inTurn: [],
    };
  });
  return { alone: rows.map((row) => row.alone), inTurn: rows.map((row) => row.inTurn) };
}
