import type { Demand } from '../../demand/demand.ts';
import { cover } from '../../plan/cover.ts';
import { MINUTES_A_DAY, type Problem } from '../../scenario/problem/types.ts';
import { lotsOfPieces, type Piece, type ReleaseOf } from '../schedule/pieces.ts';

/** Without fills that serve no round and no reserve, and without circuits and bath changes that no fill uses. */
export function useful(
  problem: Problem,
  demand: Demand,
  pieces: readonly Piece[],
  releaseOf: ReleaseOf,
): Piece[] {
  const fills = pieces.filter(({ kind }) => kind === 'fill');
  const { left, lots: all } = cover(problem, demand, lotsOfPieces(problem, fills, releaseOf));
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
  /** Whether the stock wanted after the bag rounds would be shorter without a fill. */
  const keepsStock = (fill: Piece): boolean => {
    if (problem.minStock[fill.bath]! === 0) return false;
    const short = (without: boolean) => {
      const some = fills.filter((one) => !dropped.has(one) && !(without && one === fill));
      const { stockShort } = cover(problem, demand, lotsOfPieces(problem, some, releaseOf));
      return stockShort.flat().reduce((sum, parts) => sum + parts, 0);
    };
    return short(true) > short(false);
  };
  for (let n = fills.length - 1; n >= 0; n--) {
    const index = problem.lots.length + n;
    const { bath, bags, bagParts } = all[index]!;
    const parts = bags * bagParts;
    if (fills[n]!.fixed || left[index] !== parts || (good[index] && spare[bath]! < parts)) continue;
    if (keepsStock(fills[n]!)) continue;
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
