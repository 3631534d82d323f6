import type { Demand } from '../demand/demand.ts';
import { toNumber } from '../exact/fraction.ts';
import type { Plan } from '../plan/plan.ts';
import { MINUTES_A_DAY, type Problem } from '../scenario/problem/types.ts';

interface BathNeed {
  readonly bath: string;
  /** Bags hung, whole horizon. */
  readonly bags: number;
  readonly bagsADay: number;
  readonly litresADay: number;
}
interface NeedSummary {
  readonly byBath: readonly BathNeed[];
  readonly bagsADay: number;
  /** L in whole bags. */
  readonly litresADay: number;
  /** L that the doses themselves come to; the rest is left in bags. */
  readonly dosedLitresADay: number;
  /** Patients on therapy at some time of the horizon. */
  readonly patients: number;
}

/** Dialysate that the doses come to within the horizon, L: what runs, however it is bagged. */
export function dosedLitres({ patients, horizon }: Problem): number {
  let ml = 0;
  for (const { from, until, sessions, steps } of patients)
    for (const span of sessions ?? [{ from, to: until }]) {
      const first = Math.max(0, from, span.from);
      const last = Math.min(horizon, until, span.to);
      steps.forEach(({ at, rate }, index) => {
        const begin = index === 0 ? first : Math.max(first, at);
        const end = Math.min(last, steps[index + 1]?.at ?? last);
        ml += Math.max(0, end - begin) * toNumber(rate);
      });
    }
  return ml / 1000;
}

/** What the doses need, as means over the days of the horizon. */
export function needSummary(problem: Problem, demand: Demand): NeedSummary {
  const days = problem.horizon / MINUTES_A_DAY;
  const byBath = problem.baths.map((bath, index): BathNeed => {
    const bags = demand.bags[index]!.reduce((sum, count) => sum + count, 0);
    return { bath, bags, bagsADay: bags / days, litresADay: (bags * problem.rules.fillLitres) / days };
  });
  return {
    byBath,
    bagsADay: byBath.reduce((sum, { bagsADay }) => sum + bagsADay, 0),
    dosedLitresADay: dosedLitres(problem) / days,
    litresADay: byBath.reduce((sum, { litresADay }) => sum + litresADay, 0),
    patients: demand.hangs.filter((list) => list.length > 0).length,
  };
}

/**
 * How far a plan is from what is proven: L above the bound on unmet litres, and percent above the bound on hands-on
 * minutes; null where nothing is proven.
 */
export function gapOf({ score, bound }: Pick<Plan, 'score' | 'bound'>): {
  readonly litres: number | null;
  readonly handsOnPercent: number | null;
} {
  return {
    litres: bound.unmetLitres === null ? null : Math.max(0, score.unmetLitres - bound.unmetLitres),
    handsOnPercent:
      score.handsOnMinutes === 0
        ? 0
        : bound.handsOnMinutes !== null && bound.handsOnMinutes > 0
          ? Math.max(0, (score.handsOnMinutes / bound.handsOnMinutes - 1) * 100)
          : null,
  };
}

/** Said where a bound is null. */
export const NOT_PROVEN = 'not proven yet';
