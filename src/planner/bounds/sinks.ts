import type { Demand } from '../../demand/demand.ts';
import { MINUTES_A_DAY, type Problem } from '../../scenario/problem/types.ts';

/** Who wants bags of a bath: a round, or the reserve (`round` null). */
export interface Sink {
  readonly bath: number;
  readonly round: number | null;
  readonly bags: number;
  /** A lot must be ready by this minute ... */
  readonly by: number;
  /** ... and not expire before this one. */
  readonly until: number;
  /** A fill must end by this minute ... */
  readonly lastEnd: number;
  /** ... and after this one. */
  readonly endAfter: number;
}

type Want = Pick<Sink, 'bath' | 'round' | 'bags' | 'by' | 'until'>;

/** When a fill must end to be ready in time: after swap and release, and where bags wait for a test after that too. */
function sinkOf({ rules, water }: Problem): (want: Want) => Sink {
  const { swapMinutes, releaseMinutes, releaseAfterTest, shelf } = rules;
  const test = releaseAfterTest ? Math.min(...water.map(({ testMinutes }) => testMinutes)) : 0;
  const ready = Math.max(swapMinutes + releaseMinutes, test);
  return (want) => ({ ...want, lastEnd: want.by - ready, endAfter: want.until - shelf - 1 });
}

/** What is wanted in stock after each round, good for what the next one covers; nothing is taken of it. */
export function stocksOf(problem: Problem): Sink[] {
  const { rounds, minStock, horizon } = problem;
  const sink = sinkOf(problem);
  return problem.baths.flatMap((_, bath) =>
    minStock[bath]! > 0
      ? rounds.map(({ index, at }) =>
          sink({
            bath,
            round: index,
            bags: minStock[bath]!,
            by: at,
            until: rounds[index + 1]?.to ?? horizon,
          }),
        )
      : [],
  );
}

/** All that is wanted of bags, by bath, the reserve after the rounds. */
export function sinksOf(problem: Problem, demand: Demand): Sink[] {
  const { horizon, rounds, reserve } = problem;
  const sink = sinkOf(problem);
  return problem.baths
    .flatMap((_, bath) => [
      ...rounds.map(({ index, at, to }) =>
        sink({ bath, round: index, bags: demand.bags[bath]![index]!, by: at, until: to }),
      ),
      sink({ bath, round: null, bags: reserve[bath]!, by: horizon, until: horizon + MINUTES_A_DAY }),
    ])
    .filter(({ bags }) => bags > 0);
}

/**
 * The minutes at which a fill of some of the baths could end that serves somebody. A plan without its other fills is valid,
 * leaves no more unmet and takes fewer hands: so no bound need count them.
 */
export function wantedEnds(
  { horizon }: Problem,
  sinks: readonly Sink[],
  baths: readonly number[],
): Uint8Array<ArrayBuffer> {
  const wanted = new Uint8Array(horizon + 1);
  for (const { bath, endAfter, lastEnd } of sinks)
    if (baths.includes(bath)) wanted.fill(1, Math.max(0, endAfter + 1), Math.max(0, lastEnd + 1));
  return wanted;
}

/** Whether a fill of a bath that ends at a minute could serve some round, [bath][0..horizon]. */
export function wantedByBath(problem: Problem, demand: Demand): Uint8Array[] {
  const sinks = sinksOf(problem, demand).filter(({ round }) => round !== null);
  return problem.baths.map((_, bath) => wantedEnds(problem, sinks, [bath]));
}

/** Whether bags of a lot could hang in what a sink covers. */
export const lotServes = ({ ready, expires }: Problem['lots'][number], { by, until }: Sink): boolean =>
  ready <= by && expires >= until;
