import type { Plan } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { countText } from '../../words/numbers.ts';
import type { Planner } from '../options.ts';
import { Again, type AgainOptions } from './again.ts';
import { isAnyTime, narrow, widely } from './narrow.ts';
import type { Probe } from './probeKinds.ts';
import { probesOf } from './probes.ts';
import { Relieving } from './relieving.ts';
import { type Gap, gapsOf, SAME, unmetIn } from './shortages.ts';
import { sideBySide } from './sideBySide.ts';
import { helps, reliefOf, type Shortage, shortageOf, stockRelief, type Telling } from './told.ts';

interface ExplainOptions extends AgainOptions {
  /** How a minute is told. Default: local date and time. */
  readonly when?: (minute: number) => string;
  /**
   * Hears each shortage at once, with what needs no search; again with quick answers, best first, as they come; and
   * once it is looked into. All come back at the end.
   */
  readonly onShortage?: (shortage: Shortage) => void;
  /**
   * L that no plan leaves less of, null where nothing is proven (see `leastUnmet`), as it stands (null) or with the most of one
   * limit's relief: its number among `probesOf`. Asked only where the plan is proven best. Default: nothing is proven.
   */
  readonly prove?: (probe: number | null) => Promise<number | null>;
}

/**
 * For each unmet need of a plan, what would have covered it: one limit at a time is relaxed and the problem planned
 * again, first by as much as could ever help, then by the least that does as well.
 * Needs that nothing made in house could cover in time are proven so, without a search.
 * @param replan plans a relaxed problem; called often, so give it a quick one
 */
export async function explainNeeds(
  problem: Problem,
  plan: Plan,
  replan: Planner,
  options: ExplainOptions = {},
): Promise<Shortage[]> {
  const when = options.when ?? ((minute: number) => problem.clock.localOf(minute).replace('T', ' '));
  const telling = { problem, when };
  const gaps = gapsOf(problem, plan);
  const atOnce = (gap: Gap) => shortageOf(telling, gap, [stockRelief(telling, gap)]);
  for (const gap of gaps) options.onShortage?.(atOnce(gap));
  if (gaps.every(({ stockOnly }) => stockOnly)) return gaps.map(atOnce);

  const lost = gaps.reduce((sum, gap) => sum + (gap.stockOnly ? gap.litres : 0), 0);
  const probes = probesOf(problem, when);
  const relieving = new Relieving(problem, plan, { again: new Again(plan, replan, lost, options), probes });
  const looking: Looking = { telling, relieving, probes, full: new Map(), cannot: new Set() };
  await lookQuickly(looking, () => {
    for (const gap of gaps) if (!gap.stockOnly) options.onShortage?.(quickAnswer(looking, gap));
  });
  await lookClosely(looking);
  await proveVain(looking, options);

  const shortages: Shortage[] = [];
  let searches = gaps.filter(({ stockOnly }) => !stockOnly).length;
  for (const gap of gaps) {
    // What is left of the allowance is shared out evenly, so that the last shortage is looked into like the first.
    if (!gap.stockOnly) relieving.again.share(searches--);
    const told = gap.stockOnly ? atOnce(gap) : await fullAnswer(looking, gap);
    options.onShortage?.(told);
    shortages.push(told);
  }
  return shortages;
}

/** What is known of all limits so far. */
interface Looking {
  readonly telling: Telling;
  readonly relieving: Relieving;
  readonly probes: readonly Probe[];
  /** The best plan with the most of each limit's relief. */
  readonly full: Map<Probe, Plan>;
  /** Proven not to help. */
  readonly cannot: Set<Probe>;
}

/** A quick plan without any relief, and with the most of each. @param tell called as soon as one helps, and at the end */
async function lookQuickly({ relieving, probes, full }: Looking, tell: () => void): Promise<void> {
  await relieving.control(false);
  const looked = sideBySide(probes, relieving.again.atATime, async (probe) => {
    const quick = await relieving.most(probe);
    if (!quick) return;
    full.set(probe, quick);
    if (quick.score.unmetLitres < relieving.base.score.unmetLitres - SAME) tell();
  });
  await Promise.all(looked);
  // Whichever thread was first: they are told in their own order.
  const inOrder = probes.flatMap((probe) => (full.has(probe) ? [[probe, full.get(probe)!] as const] : []));
  full.clear();
  for (const [probe, quick] of inOrder) full.set(probe, quick);
  tell();
}

/** Limits by what is left unmet with the most of them, the least first. */
const leastFirst = (full: Looking['full']): [Probe, Plan][] =>
  [...full].sort(([, a], [, b]) => a.score.unmetLitres - b.score.unmetLitres);

/** A closer look at each, those first that leave least so far. */
async function lookClosely({ relieving, full }: Looking): Promise<void> {
  await relieving.control(true);
  await Promise.all(
    sideBySide(leastFirst(full), relieving.again.atATime, async ([probe, quick]) => {
      full.set(probe, await relieving.closer(probe, quick));
    }),
  );
}

/** Proves of what does not help that it cannot. */
async function proveVain(
  { relieving, probes, full, cannot }: Looking,
  { prove, stop }: ExplainOptions,
): Promise<void> {
  const noLess = relieving.base.score.unmetLitres - SAME;
  const proves = async (probe: number | null) =>
    prove !== undefined && !stop?.() && ((await prove(probe)) ?? 0) >= noLess;
  if (full.size === 0 || !(await proves(null))) return;
  for (const [number, probe] of probes.entries())
    if ((full.get(probe)?.score.unmetLitres ?? 0) >= noLess && (await proves(number))) cannot.add(probe);
}

/** What helps in a quick plan with the most of it, before anything is narrowed down. */
function quickAnswer({ telling, relieving, full }: Looking, gap: Gap): Shortage {
  const found = [...full]
    .filter(([probe]) => probe.helps(gap.bath))
    .map(([probe, best]) => widely(relieving, { gap, probe, best, cannot: false }))
    .filter(helps);
  return shortageOf(telling, gap, [
    stockRelief(telling, gap),
    ...found.map((looked) => reliefOf(telling, looked)),
  ]);
}

async function fullAnswer(
  { telling, relieving, probes, full, cannot }: Looking,
  gap: Gap,
): Promise<Shortage> {
  const reliefs = [stockRelief(telling, gap)];
  // What helps most is narrowed down first, while there is time; last when technicians are wanted, which takes many plans.
  const inTurn = leastFirst(full).sort(([a], [b]) => Number(isAnyTime(a)) - Number(isAnyTime(b)));
  const mine = inTurn.filter(([probe]) => probe.helps(gap.bath));
  const looked = sideBySide(mine, relieving.again.atATime, ([probe, best]) =>
    narrow(relieving, { gap, probe, best, cannot: cannot.has(probe) }),
  );
  for (const one of await Promise.all(looked)) reliefs.push(reliefOf(telling, one));
  const longer = unmetIn(telling.problem, relieving.base, gap);
  // What was not asked must not pass for what does not help.
  const rest = probes.filter((probe) => !full.has(probe) && probe.helps(gap.bath)).length;
  return shortageOf(telling, gap, reliefs, {
    longer: longer < gap.litres - 0.05 ? longer : null,
    more: rest > 0 ? ` Time ended before ${countText(rest, 'other limit')} could be tried.` : '',
  });
}
