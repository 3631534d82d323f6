import type { Demand } from '../demand/demand.ts';
import type { Cover } from '../plan/cover.ts';
import type { Problem, Round } from '../scenario/problem/types.ts';
import type { Scenario } from '../scenario/schema.ts';
import { traceFlow } from './traceDemand.ts';

/** What the answers below are computed from: a plan as it is shown. */
export interface Covered {
  readonly problem: Problem;
  readonly demand: Demand;
  readonly covered: Cover;
}

/** One bag round, all baths: what leaves with it and what of that nothing serves. */
interface RoundNeed {
  readonly round: Round;
  /** By bath, in the scenario's order. */
  readonly byBath: readonly { readonly bags: number; readonly unmetLitres: number }[];
  /** Bags of the fill volume. */
  readonly bags: number;
  /** L */
  readonly unmetLitres: number;
}

/** The need of each bag round and what of it stays unmet, in order of time. */
export function roundNeeds({ problem, demand, covered }: Covered): RoundNeed[] {
  return problem.rounds.map((round) => {
    const byBath = problem.baths.map((_, bath) => ({
      bags: demand.bags[bath]![round.index]!,
      unmetLitres: covered.unmet[bath]![round.index]! / problem.partsPerLitre,
    }));
    return {
      round,
      byBath,
      bags: byBath.reduce((sum, { bags }) => sum + bags, 0),
      unmetLitres: byBath.reduce((sum, { unmetLitres }) => sum + unmetLitres, 0),
    };
  });
}

const SHORT = 1e-9;

/** The first bag round, of those that cover minutes from `now` on, of which something stays unmet; null: none. */
export const firstShort = (needs: readonly RoundNeed[], now: number): RoundNeed | null =>
  needs.find(({ round, unmetLitres }) => round.to > now && unmetLitres > SHORT) ?? null;

/**
 * Until when all bags that hang are there: from then on bags of the first short bag round are hung, of which not all
 * are. Before the first short round everything is covered; the end of the horizon where none is short.
 * @returns minute
 */
export const coveredUntil = ({ problem }: Covered, short: RoundNeed | null, now: number): number =>
  short ? Math.max(now, short.round.from) : problem.horizon;

/** The next bag rounds that something leaves with, at most `most` of them. */
export function nextRounds(needs: readonly RoundNeed[], now: number, most: number): RoundNeed[] {
  return needs.filter(({ round, bags }) => round.at >= now && round.to > now && bags > 0).slice(0, most);
}

/** What one bed needs, of what hangs from `now` on. */
interface BedNeed {
  readonly id: string;
  /** The bath that runs at `now`, else the first to come; null: nothing is hung any more. */
  readonly bath: number | null;
  /** What the pump runs while therapy runs, mL/h at `now`; 0 where nothing runs. */
  readonly flow: number;
  /** The same averaged over the day, pauses of therapy included, mL/h. */
  readonly rate: number;
  /** Minute at which the next bag hangs, or null. */
  readonly next: number | null;
  /** Bags that hang from now to the end of the same local day. */
  readonly bagsToday: number;
}

/** Bags that hang in from..to-1, by bath. */
export function bagsHung(
  demand: Demand,
  baths: number,
  { from, to }: { from: number; to: number },
): number[] {
  const bags = new Array<number>(baths).fill(0);
  for (const list of demand.hangs)
    for (const { bath, minute } of list) if (minute >= from && minute < to) bags[bath]! += 1;
  return bags;
}

/** The end of the local day that holds a minute, at most the horizon's end. */
export function endOfDay({ clock, horizon }: Problem, now: number): number {
  const date = clock.localOf(now).slice(0, 10);
  const [, next] = clock.datesOf(now, Math.min(horizon, now + 2 * 1440));
  const end = next && next > date ? clock.minuteOf(`${next}T00:00`) : horizon;
  return Math.min(horizon, Math.max(now, end));
}

/** What is prescribed, and what it needs. */
interface Prescribed {
  readonly scenario: Scenario;
  readonly problem: Problem;
  readonly demand: Demand;
}

/** What each bed needs from `now` on, in the scenario's order. */
export function bedNeeds({ scenario, problem, demand }: Prescribed, now: number): BedNeed[] {
  const end = endOfDay(problem, now);
  return problem.patients.map(({ id, from, until, steps }, index) => {
    const ahead = demand.hangs[index]!.filter(({ minute }) => minute >= now);
    const step = steps.findLast(({ at }) => at <= now) ?? steps[0]!;
    const running = now >= Math.max(0, from) && now < until;
    return {
      id,
      bath: running ? step.bath : (ahead[0]?.bath ?? null),
      flow: running ? traceFlow({ scenario, problem }, index, now).value : 0,
      rate: running ? (Number(step.rate.n) / Number(step.rate.d)) * 60 : 0,
      next: ahead[0]?.minute ?? null,
      bagsToday: ahead.filter(({ minute }) => minute < end).length,
    };
  });
}
