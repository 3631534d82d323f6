import type { Demand } from '../../demand/demand.ts';
import { type Cover, cover } from '../../plan/cover.ts';
import type { Activity } from '../../plan/plan.ts';
import { MINUTES_A_DAY, type Problem } from '../../scenario/problem/types.ts';
import type { Ledger } from '../schedule/ledger.ts';
import { signOf } from './moved.ts';
import { doneAt, lotsOfPieces, neededTests, type Piece, piecesOf, replay } from './replay.ts';

/** Fills put in at most, unless told otherwise, and needs tried in vain at most: what is left is for the search. */
const MOST_FILLS = 24;
const MOST_VAIN = 12;

/**
 * The plan before an edit, changed as little as the edit demands: what is no longer allowed goes, what serves nothing
 * any more goes, and fills for needs that are new come into hours in which a machine rests. All else stays to the
 * minute. Valid where history is; never clever. Where even history cannot stand as it stood, history alone.
 * @param previous valid when it was made, perhaps for another scenario
 * @param history what of it is fixed and is taken unasked; nothing else begins before minute `now`
 * @param most fills put in at most
 */
export function repaired(
  problem: Problem,
  demand: Demand,
  previous: readonly Activity[],
  history: readonly Activity[],
  now: number,
  most = MOST_FILLS,
): Activity[] {
  let { pieces, ledger } = replay(
    problem,
    piecesOf(problem, previous, new Set(history)),
    previous,
    history,
    now,
  );
  const withoutUseless = () => {
    const needed = useful(problem, demand, pieces);
    if (needed.length < pieces.length)
      ({ pieces, ledger } = replay(problem, needed, ledger.activities, history, now));
  };
  withoutUseless();
  let covered = cover(problem, demand, lotsOfPieces(problem, pieces));
  let vain = 0;
  for (let fills = 0; fills < most && vain < MOST_VAIN; ) {
    const wanted = firstWanted(problem, covered, vain);
    if (!wanted) break;
    const mark = ledger.mark();
    const put = cheapest(problem, ledger, pieces, wanted, now);
    const more = put && [...pieces, ...put].sort((a, b) => a.start - b.start);
    const better = more && cover(problem, demand, lotsOfPieces(problem, more));
    if (better && lessMissing(better, covered)) {
      pieces = more;
      covered = better;
      fills += 1;
    } else {
      ledger.backTo(mark);
      vain += 1;
    }
  }
  withoutUseless();
  const made = neededTests(problem, ledger.activities, history);
  const signs = new Set(made.map(signOf));
  const stands = history.every((activity) => signs.has(signOf(activity)));
  return stands ? made : [...history];
}

const sum = (parts: readonly number[]): number => parts.reduce((total, one) => total + one, 0);

function lessMissing(a: Cover, b: Cover): boolean {
  const [unmet, before] = [sum(a.unmet.flat()), sum(b.unmet.flat())];
  return unmet < before || (unmet === before && sum(a.reserveShort) < sum(b.reserveShort));
}

export interface Wanted {
  readonly bath: number;
  /** -1: the reserve. */
  readonly round: number;
  /** Ready to leave by `at`, good until `to`. */
  readonly at: number;
  readonly to: number;
}

/**
 * The first need of all that is not met, after skipping so many.
 * @param unmet parts, [bath][round]
 */
export function firstUnmet({ rounds, baths }: Problem, unmet: Cover['unmet'], skip: number): Wanted | null {
  let left = skip;
  for (const { index, at, to } of rounds)
    for (const bath of baths.keys())
      if (unmet[bath]![index]! > 0 && left-- === 0) return { bath, round: index, at, to };
  return null;
}

/** The same, the reserve last. */
function firstWanted(problem: Problem, { unmet, reserveShort }: Cover, skip: number): Wanted | null {
  const { horizon, baths } = problem;
  const found = firstUnmet(problem, unmet, skip);
  if (found) return found;
  let left = skip - unmet.flat().filter((parts) => parts > 0).length;
  for (const bath of baths.keys())
    if (reserveShort[bath]! > 0 && left-- === 0)
      return { bath, round: -1, at: horizon, to: horizon + MINUTES_A_DAY };
  return null;
}

/** Without fills that serve no round and no reserve, and without circuits and bath changes that no fill uses. */
function useful(problem: Problem, demand: Demand, pieces: readonly Piece[]): Piece[] {
  const fills = pieces.filter(({ kind }) => kind === 'fill');
  const { left, lots: all } = cover(problem, demand, lotsOfPieces(problem, fills));
  const good = all.map(
    ({ ready, expires }) => ready <= problem.horizon && expires >= problem.horizon + MINUTES_A_DAY,
  );
  const spare = problem.baths.map((_, bath) =>
    all.reduce(
      (sum, lot, index) => (lot.bath === bath && good[index] ? sum + left[index]! : sum),
      -problem.reserve[bath]! * problem.bagParts,
    ),
  );
  const dropped = new Set<Piece>();
  for (let n = fills.length - 1; n >= 0; n--) {
    const index = problem.lots.length + n;
    const { bath, bags, bagParts } = all[index]!;
    const parts = bags * bagParts;
    if (fills[n]!.fixed || left[index] !== parts || (good[index] && spare[bath]! < parts)) continue;
    if (good[index]) spare[bath]! -= parts;
    dropped.add(fills[n]!);
  }
  return problem.machines.flatMap((_, machine) =>
    used(
      pieces.filter((piece) => piece.machine === machine && !dropped.has(piece)),
      problem.machines[machine]!.loaded?.bath ?? -1,
    ),
  );
}

/** One machine's pieces, in order of time, without the set-ups that no fill uses. */
function used(pieces: readonly Piece[], loaded: number): Piece[] {
  let runs = loaded;
  return pieces.filter((piece, index) => {
    const later = pieces.slice(index + 1);
    const until = later.findIndex(
      ({ kind }) => kind === 'circuit' || (kind === 'bath' && piece.kind === 'bath'),
    );
    const fills = (until < 0 ? later : later.slice(0, until)).some(({ kind }) => kind === 'fill');
    const idle = piece.kind !== 'fill' && (!fills || (piece.kind === 'bath' && piece.bath === runs));
    if (idle && !piece.fixed) return false;
    runs = piece.bath;
    return true;
  });
}

/** Enters one more fill for a need, where a machine rests, with as little work as may be; null where none fits. */
function cheapest(
  problem: Problem,
  ledger: Ledger,
  pieces: readonly Piece[],
  { bath, at, to }: Wanted,
  now: number,
): Piece[] | null {
  const { rules, machines, horizon } = problem;
  const swapBy = at - rules.releaseMinutes;
  let best: { cost: number; put: () => Piece[] | null } | null = null;
  machines.forEach(({ baths, shortest, longest, loaded }, machine) => {
    if (!baths.includes(bath) || longest < shortest) return;
    const mine = pieces.filter((piece) => piece.machine === machine);
    let circuit: { bath: number; since: number } | null = loaded;
    let free = 0;
    for (const next of [...mine, null]) {
      const until = Math.min(next?.start ?? horizon, swapBy + rules.bathMinutes);
      const from = Math.max(free, now, to - rules.shelf - longest);
      if (until - from > shortest) {
        for (const put of waysIn({
          problem,
          ledger,
          machine,
          bath,
          from,
          until,
          swapBy,
          to,
          circuit,
          next,
        })) {
          const mark = ledger.mark();
          const before = ledger.activities.length;
          const done = put();
          const cost = ledger.activities
            .slice(before)
            .reduce((sum, { kind, start, end }) => (kind === 'fill' ? sum : sum + end - start), 0);
          ledger.backTo(mark);
          if (done && (!best || cost < best.cost)) best = { cost, put };
        }
      }
      if (!next || next.start >= swapBy) break;
      if (next.kind === 'circuit') circuit = { bath: next.bath, since: next.start };
      else if (circuit) circuit = { ...circuit, bath: next.bath };
      free = doneAt(problem, next);
    }
  });
  return (best as { put: () => Piece[] | null } | null)?.put() ?? null;
}

interface Gap {
  readonly problem: Problem;
  readonly ledger: Ledger;
  readonly machine: number;
  readonly bath: number;
  readonly from: number;
  readonly until: number;
  readonly swapBy: number;
  /** Bags must not expire before this minute. */
  readonly to: number;
  readonly circuit: { readonly bath: number; readonly since: number } | null;
  readonly next: Piece | null;
}

/** Ways to put a fill into a rest: on the circuit in place, with its bath changed, or on a new circuit. */
function waysIn(gap: Gap): (() => Piece[] | null)[] {
  const { problem, ledger, machine, bath, from, until, swapBy, to, circuit, next } = gap;
  const { circuitLife, bathMinutes, swapMinutes, circuitMinutes, shelf } = problem.rules;
  const back = next?.kind === 'fill' && next.bath !== bath ? next.bath : null;
  const end = Math.min(swapBy, until - (back === null ? 0 : bathMinutes));
  const way = (setUp: 'circuit' | 'bath' | null) => (): Piece[] | null => {
    const done: Piece[] = [];
    const enter = (kind: Piece['kind'], what: number, begin: number, latest: number, by?: number): number => {
      const run = begin <= latest ? ledger.enter(machine, kind, what, begin, latest, by) : null;
      if (!run) return -1;
      done.push({ kind, machine, bath: what, start: run.start, end: run.start + run.minutes, fixed: false });
      return run.start + run.minutes;
    };
    let life = circuit ? circuit.since + circuitLife : 0;
    let ready = from;
    if (setUp) {
      const minutes = setUp === 'circuit' ? circuitMinutes : bathMinutes;
      ready = enter(setUp, bath, from, end - swapMinutes - minutes);
      if (ready < 0) return null;
      if (setUp === 'circuit') life = done[0]!.start + circuitLife;
    }
    const filled = enter('fill', bath, ready, end - swapMinutes, Math.min(end, life));
    if (filled < 0 || filled + shelf < to) return null;
    if (back === null) return done;
    const changed = enter('bath', back, filled + swapMinutes, Math.min(until, life) - bathMinutes);
    return changed < 0 ? null : done;
  };
  if (!circuit) return [way('circuit')];
  return circuit.bath === bath ? [way(null), way('circuit')] : [way('bath'), way('circuit')];
}
