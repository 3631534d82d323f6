import { bagsByDay, type Demand } from '../demand/demand.ts';
import type { Cover } from '../plan/cover.ts';
import type { Problem } from '../scenario/problem/types.ts';
import { type Step, stepsOf } from './timeline.ts';

/** One bath in one round, in bags of fillLitres (fractions where a smaller bag serves). */
export interface RoundCover {
  readonly round: number;
  /** Minute at which it leaves; the opening round (0) is there at the start. */
  readonly at: number;
  /** Bags hung in from..to-1. */
  readonly from: number;
  readonly to: number;
  readonly need: number;
  readonly fromStock: number;
  readonly fromFills: number;
  readonly unmet: number;
}
interface Expiry {
  readonly at: number;
  readonly lot: string;
  /** The lot's own bags that nobody used, as the score counts them. */
  readonly bags: number;
}
export interface BathCover {
  readonly bath: string;
  readonly rounds: readonly RoundCover[];
  /** Bags ready and not yet sent, used up or expired. */
  readonly stock: readonly Step[];
  readonly expiries: readonly Expiry[];
  readonly need: number;
  readonly unmet: number;
}

/** Need against cover by bath and round, and the stock between rounds. */
export function coverSeries(problem: Problem, demand: Demand, covered: Cover): BathCover[] {
  const bags = (parts: number) => parts / problem.bagParts;
  return problem.baths.map((bath, number) => {
    const given = problem.rounds.map(() => ({ stock: 0, fills: 0 }));
    const sent = new Map<number, { at: number; parts: number }[]>();
    for (const { lot, bath: of, round, parts } of covered.servings) {
      if (of !== number) continue;
      given[round]![covered.lots[lot]!.origin === 'fill' ? 'fills' : 'stock'] += parts;
      const list = sent.get(lot) ?? [];
      sent.set(lot, list);
      list.push({ at: problem.rounds[round]!.at, parts });
    }
    const rounds = problem.rounds.map(({ index, at, from, to }) => ({
      round: index,
      at,
      from,
      to,
      need: demand.bags[number]![index]!,
      fromStock: bags(given[index]!.stock),
      fromFills: bags(given[index]!.fills),
      unmet: bags(covered.unmet[number]![index]!),
    }));
    const expiries: Expiry[] = [];
    const spans: { from: number; to: number; value: number }[] = [];
    covered.lots.forEach((lot, index) => {
      if (lot.bath !== number) return;
      const from = Math.max(0, lot.ready);
      const gone = Math.min(problem.horizon, lot.expires);
      if (from >= problem.horizon) return;
      for (const { at, parts } of sent.get(index) ?? [])
        if (at > from) spans.push({ from, to: at, value: bags(parts) });
      const left = covered.left[index]!;
      if (left === 0) return;
      if (gone > from) spans.push({ from, to: gone, value: bags(left) });
      if (lot.expires <= problem.horizon && lot.expires > 0)
        expiries.push({ at: lot.expires, lot: lot.id, bags: left / lot.bagParts });
    });
    return {
      bath,
      rounds,
      // Thirds of a bag do not add up to whole ones in floating point.
      stock: stepsOf(spans).map(({ at, value }) => ({ at, value: Math.round(value * 1e6) / 1e6 })),
      expiries: expiries.sort((a, b) => a.at - b.at),
      need: rounds.reduce((sum, round) => sum + round.need, 0),
      unmet: rounds.reduce((sum, round) => sum + round.unmet, 0),
    };
  });
}

interface DayBags {
  /** 0 = the first 24 h from the start. */
  readonly day: number;
  /** Bags hung, by bath. */
  readonly bags: readonly number[];
  readonly total: number;
  readonly litres: number;
}

/** Bags hung in each 24 h of the horizon, by bath, with totals in bags and litres. */
export function dayBags(problem: Problem, demand: Demand): DayBags[] {
  const table = bagsByDay(problem, demand);
  return Array.from({ length: Math.ceil(problem.horizon / 1440) }, (_, day) => {
    const bags = table.map((byDay) => byDay[day]!);
    const total = bags.reduce((sum, count) => sum + count, 0);
    return { day, bags, total, litres: (total * problem.bagParts) / problem.partsPerLitre };
  });
}
