import type { Plan } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import type { Probe } from './probeKinds.ts';
import { missingOf } from './relief.ts';
import type { Relieving } from './relieving.ts';
import { type Gap, SAME, unmetIn } from './shortages.ts';
import { helps, type Looked } from './told.ts';

/** Closer looks, at most, at whether less of a relief would do. */
const CLOSE_STEPS = 8;
/** Hours in which technicians are wanted are found to so many minutes. */
const HALF_HOUR = 30;

/** A limit that may matter to a gap, and the best plan with the most of it. */
interface Lead {
  readonly gap: Gap;
  readonly probe: Probe;
  readonly best: Plan;
  /** Proven: no plan with the most of it leaves less unmet. */
  readonly cannot: boolean;
}

/** L of the gap that stay missing, with what is merely moved to another need. */
function stillMissing({ problem, base }: Relieving, gap: Gap, relieved: Plan): number {
  const before = unmetIn(problem, base, gap);
  const saved = base.score.unmetLitres - relieved.score.unmetLitres;
  return Math.max(0, unmetIn(problem, relieved, gap), before - Math.max(0, saved));
}

/** Technicians outside the shifts: from when to when is part of the answer. */
export const isAnyTime = (probe: Probe): boolean => probe.limit === 'technicians' && probe.place === '';

/** The most of a relief, before it is narrowed. */
export function widely(relieving: Relieving, { gap, probe, best, cannot }: Lead): Looked {
  const { problem, base } = relieving;
  return {
    probe,
    by: probe.limit === 'supplies' ? usedBeyond(problem, probe, best) : probe.most,
    chosen: best,
    span: isAnyTime(probe) ? { from: 0, to: problem.horizon } : null,
    before: unmetIn(problem, base, gap),
    after: stillMissing(relieving, gap, best),
    perhapsLess: true,
    cannot,
  };
}

/** The least relief of one kind that does as well as the most. */
export async function narrow(relieving: Relieving, lead: Lead): Promise<Looked> {
  const { problem } = relieving;
  const { gap, probe } = lead;
  const { horizon } = problem;
  const wide = widely(relieving, lead);
  if (!helps(wide)) return wide;
  let { by, chosen } = wide;
  let [from, to] = [0, horizon];
  let cut = false;
  const asGood = async (amount: number, start: number, end: number, closely = false): Promise<boolean> => {
    const made = await relieving.planWith(probe, { by: amount, from: start, to: end }, closely);
    cut ||= made === null;
    const good = made !== null && stillMissing(relieving, gap, made) <= wide.after + SAME;
    if (made && good) chosen = made;
    return good;
  };
  const { step } = probe;
  by = step * (await least(0, Math.ceil(by / step), (steps) => asGood(steps * step, 0, horizon)));
  // A quick plan may need four circuits where a better one does with two.
  const down = step * Math.ceil(by / step / CLOSE_STEPS);
  while (by > down && (await asGood(by - down, 0, horizon, true))) by -= down;
  if (wide.span) {
    const end = problem.rounds[gap.last]!.at;
    if (await asGood(by, 0, end)) to = end;
    const back = await least(0, Math.ceil(to / HALF_HOUR), (k) =>
      asGood(by, Math.max(0, to - k * HALF_HOUR), to),
    );
    from = Math.max(0, to - back * HALF_HOUR);
    const on = await least(0, back, (k) => asGood(by, from, from + k * HALF_HOUR));
    to = Math.min(to, from + on * HALF_HOUR);
  }
  return { ...wide, by, chosen, span: wide.span && { from, to }, perhapsLess: cut };
}

/** What a plan that may take all it wants takes of a supply beyond what there is, rounded up to whole ones. */
function usedBeyond(problem: Problem, probe: Probe, best: Plan): number {
  const supply = problem.supplies.find(({ item }) => item === probe.place)!;
  return Math.ceil(missingOf(problem, supply, best.activities).units / supply.scale);
}

/** The least whole number in (no, yes] that will do, taking for granted that `yes` does and that more never hurts. */
async function least(no: number, yes: number, does: (n: number) => Promise<boolean>): Promise<number> {
  let [low, high] = [no, yes];
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (await does(middle)) high = middle;
    else low = middle;
  }
  return high;
}
