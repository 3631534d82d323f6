import type { Plan } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { countText } from '../../words/numbers.ts';
import type { Planner } from '../options.ts';
import { betterPlan } from '../search/rivals.ts';
import { Again, type AgainOptions } from './again.ts';
import { type Limit, type Probe, probesOf, round } from './probes.ts';
import { missingOf } from './relief.ts';
import { type Gap, gapsOf, SAME, unmetIn } from './shortages.ts';

/** What would have covered a shortage, or would not have. */
export interface Relief {
  readonly limit: Limit;
  /** The change, e.g. "1 more machine like M3". */
  readonly change: string;
  readonly quantity: number;
  readonly unit: string;
  /** Machine, shift, water source or supply concerned; else empty. */
  readonly place: string;
  /** Minutes from..to for which it is wanted; null: throughout, or no matter of time. */
  readonly from: number | null;
  readonly to: number | null;
  /** L missing without and with it. What it would merely move to another need counts as still missing. */
  readonly before: number;
  readonly after: number;
  readonly effect: 'clears' | 'reduces' | 'does not help';
  /**
   * True without any search: it clears, or no plan with it leaves less unmet in all. Else: found by planning again, so the
   * true relief may be smaller, never larger, and what did not help may yet help.
   */
  readonly proven: boolean;
  /** A limit that guards safety: named as a cause, never as something to relax. */
  readonly safety: boolean;
  readonly sentence: string;
}

export interface Shortage {
  readonly bath: string;
  /** Numbers of the first and last round concerned. */
  readonly firstRound: number;
  readonly lastRound: number;
  /** Minute at which the first of these rounds leaves, and up to which the last one covers. */
  readonly at: number;
  readonly to: number;
  readonly litres: number;
  /** Bags of fillLitres, rounded up. */
  readonly bags: number;
  /** Proven: nothing made in house can be ready in time, so only stock or a delivery could have covered it. */
  readonly stockOnly: boolean;
  readonly sentence: string;
  /** What clears it first, then what reduces it most, then what does not help. */
  readonly reliefs: readonly Relief[];
}

interface ExplainOptions extends AgainOptions {
  /** How a minute is told. Default: local date and time. */
  readonly when?: (minute: number) => string;
  /** Hears each shortage at once, with what needs no search, and again once it is looked into; all come back at the end. */
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
  const gaps = gapsOf(problem, plan);
  const lost = gaps.reduce((sum, gap) => sum + (gap.stockOnly ? gap.litres : 0), 0);
  const atOnce = (gap: Gap) => shortageOf(problem, gap, [stockRelief(problem, gap, when)], when, null);
  if (options.onShortage) for (const gap of gaps) options.onShortage(atOnce(gap));
  const again = new Again(plan, replan, lost, options);
  const searched = gaps.some(({ stockOnly }) => !stockOnly);
  // A plan made again without any relief tells what planning longer alone would do: no relief may claim that.
  const control =
    searched && !again.spent ? await again.closely(problem, await again.quickly(problem)) : plan;
  const base = control.score.unmetLitres < plan.score.unmetLitres ? control : plan;
  // What is valid stays so with a limit relaxed.
  const closer = (relaxed: Problem, quick: Plan) => again.closely(relaxed, betterPlan(base, quick));
  // Many shortages ask the same: one more machine, two more, one more on nights.
  const known = new Map<string, Plan>();
  const wantCloser = new Set<Probe>();
  const keyOf = (probe: Probe, ...rest: number[]) => JSON.stringify([probe.tellMost, ...rest]);
  const lookedClosely = new Set<string>();
  const relieved: Relieved = async (probe, by, from, to, closely = false) => {
    const key = keyOf(probe, by, from, to);
    const before = known.get(key);
    const close = closely || wantCloser.has(probe);
    if ((before && (!close || lookedClosely.has(key))) || again.spent) return before ?? null;
    const relaxed = probe.relax(by, from, to);
    const quick = before ?? (await again.quickly(relaxed));
    const made = close ? await closer(relaxed, quick) : quick;
    if (close) lookedClosely.add(key);
    known.set(key, made);
    return made;
  };
  const full = new Map<Probe, Plan>();
  const probes = searched ? probesOf(problem, when) : [];
  for (const probe of probes) {
    const most = [probe.most, 0, problem.horizon] as const;
    const quick = await relieved(probe, ...most);
    if (!quick) continue;
    const best = await closer(probe.relax(...most), quick);
    known.set(keyOf(probe, ...most), best);
    lookedClosely.add(keyOf(probe, ...most));
    // What only a closer look finds of the most, no quick plan will find of less.
    if (best.score.unmetLitres < quick.score.unmetLitres - SAME) wantCloser.add(probe);
    full.set(probe, best);
  }

  const cannot = new Set<Probe>();
  const noLess = base.score.unmetLitres - SAME;
  const proves = async (probe: number | null) =>
    options.prove !== undefined && !options.stop?.() && ((await options.prove(probe)) ?? 0) >= noLess;
  if (full.size > 0 && (await proves(null)))
    for (const [number, probe] of probes.entries())
      if ((full.get(probe)?.score.unmetLitres ?? 0) >= noLess && (await proves(number))) cannot.add(probe);

  const shortages: Shortage[] = [];
  let searches = gaps.filter(({ stockOnly }) => !stockOnly).length;
  for (const gap of gaps) {
    // What is left of the allowance is shared out evenly, so that the last shortage is looked into like the first.
    if (!gap.stockOnly) again.share(searches--);
    const reliefs = [stockRelief(problem, gap, when)];
    if (!gap.stockOnly)
      for (const [probe, best] of full)
        if (probe.helps(gap.bath))
          reliefs.push(
            await narrow({ problem, base, gap, probe, best, relieved, when, cannot: cannot.has(probe) }),
          );
    const rank = (relief: Relief) => ['clears', 'reduces', 'does not help'].indexOf(relief.effect);
    reliefs.sort((a, b) => rank(a) - rank(b) || Number(a.safety) - Number(b.safety) || a.after - b.after);
    const longer = unmetIn(problem, base, gap);
    const found = shortageOf(problem, gap, reliefs, when, longer < gap.litres - 0.05 ? longer : null);
    // What was not asked must not pass for what does not help.
    const rest = gap.stockOnly
      ? 0
      : probes.filter((probe) => !full.has(probe) && probe.helps(gap.bath)).length;
    const unasked = ` Time ended before ${countText(rest, 'other limit')} could be tried.`;
    const told = rest > 0 ? { ...found, sentence: `${found.sentence}${unasked}` } : found;
    options.onShortage?.(told);
    shortages.push(told);
  }
  return shortages;
}

/** L of the gap that stay missing, with what is merely moved to another need. */
function stillMissing(problem: Problem, base: Plan, gap: Gap, relieved: Plan): number {
  const before = unmetIn(problem, base, gap);
  const saved = base.score.unmetLitres - relieved.score.unmetLitres;
  return Math.max(0, unmetIn(problem, relieved, gap), before - Math.max(0, saved));
}

/** The plan with one limit relaxed; null when no more plans may be made. */
type Relieved = (
  probe: Probe,
  by: number,
  from: number,
  to: number,
  closely?: boolean,
) => Promise<Plan | null>;

interface Narrowing {
  readonly problem: Problem;
  readonly base: Plan;
  readonly gap: Gap;
  readonly probe: Probe;
  readonly best: Plan;
  readonly relieved: Relieved;
  readonly when: (minute: number) => string;
  /** Proven: no plan with the most of it leaves less unmet. */
  readonly cannot: boolean;
}

/** Closer looks, at most, at whether less of a relief would do. */
const CLOSE_STEPS = 8;

/** The least relief of one kind that does as well as the most. */
async function narrow(narrowing: Narrowing): Promise<Relief> {
  const { problem, base, gap, probe, best, relieved, when, cannot } = narrowing;
  const { horizon } = problem;
  const before = round(unmetIn(problem, base, gap));
  const after = stillMissing(problem, base, gap, best);
  let chosen = best;
  let by = probe.limit === 'supplies' ? usedBeyond(problem, probe, best) : probe.most;
  const helps = by > 0 && after < unmetIn(problem, base, gap) - 0.05;
  let [from, to] = [0, horizon];
  /** Technicians outside the shifts: from when to when is part of the answer. */
  const anyTime = probe.limit === 'technicians' && probe.place === '';
  let cut = false;
  const asGood = async (amount: number, start: number, end: number, closely = false): Promise<boolean> => {
    const made = await relieved(probe, amount, start, end, closely);
    cut ||= made === null;
    const good = made !== null && stillMissing(problem, base, gap, made) <= after + SAME;
    if (made && good) chosen = made;
    return good;
  };
  if (helps) {
    const { step } = probe;
    by = step * (await least(0, Math.ceil(by / step), (steps) => asGood(steps * step, 0, horizon)));
    // A quick plan may need four circuits where a better one does with two.
    const down = step * Math.ceil(by / step / CLOSE_STEPS);
    while (by > down && (await asGood(by - down, 0, horizon, true))) by -= down;
    if (anyTime) {
      const half = 30;
      const end = problem.rounds[gap.last]!.at;
      if (await asGood(by, 0, end)) to = end;
      const back = await least(0, Math.ceil(to / half), (k) => asGood(by, Math.max(0, to - k * half), to));
      from = Math.max(0, to - back * half);
      const on = await least(0, back, (k) => asGood(by, from, from + k * half));
      to = Math.min(to, from + on * half);
    }
  }
  const timed = anyTime && helps;
  const span = timed ? `from ${when(from)} to ${when(to)}` : 'at all times';
  const change = helps ? probe.tell(by, chosen, span) : probe.tellMost;
  const effect = !helps ? 'does not help' : after <= 0.05 ? 'clears' : 'reduces';
  const did =
    effect === 'clears'
      ? `clears the ${before} L`
      : effect === 'reduces'
        ? `reduces the ${before} L to ${round(after)} L`
        : cannot
          ? 'proven not to help'
          : 'did not help in a short search';
  const perhaps = helps && cut ? '; perhaps less would do' : '';
  const caution =
    probe.safety && helps ? ' (a limit of safety: this names the cause, it is nothing to relax)' : '';
  return {
    limit: probe.limit,
    change,
    quantity: by,
    unit: probe.unit,
    place: probe.place,
    from: timed ? from : null,
    to: timed ? to : null,
    before,
    after: helps ? round(after) : before,
    effect,
    proven: !helps && cannot,
    safety: probe.safety,
    sentence: `${change[0]!.toUpperCase()}${change.slice(1)}: ${did}${perhaps}${caution}.`,
  };
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

/** Bags from outside, there when the rounds leave: always clears, whatever the plan. */
function stockRelief(problem: Problem, gap: Gap, when: (minute: number) => string): Relief {
  const [first, last] = [problem.rounds[gap.first]!, problem.rounds[gap.last]!];
  const bags = Math.ceil(gap.litres / problem.rules.fillLitres - SAME);
  const change = `${bags} more ${bags === 1 ? 'bag' : 'bags'} of ${problem.baths[gap.bath]} from stock or a delivery, ${first.at === 0 ? 'there at the start' : `ready by ${when(first.at)}`} and good until ${when(last.to)}`;
  return {
    limit: 'stock',
    change,
    quantity: bags,
    unit: 'bags',
    place: '',
    from: first.at,
    to: last.to,
    before: round(gap.litres),
    after: 0,
    effect: 'clears',
    proven: true,
    safety: false,
    sentence: `${change}: clears the ${round(gap.litres)} L.`,
  };
}

function shortageOf(
  problem: Problem,
  gap: Gap,
  reliefs: readonly Relief[],
  when: (minute: number) => string,
  longer: number | null,
): Shortage {
  const [first, last] = [problem.rounds[gap.first]!, problem.rounds[gap.last]!];
  const bath = problem.baths[gap.bath]!;
  const bags = Math.ceil(gap.litres / problem.rules.fillLitres - SAME);
  const rounds =
    gap.first === gap.last
      ? `the round at ${when(first.at)}`
      : `the rounds from ${when(first.at)} to ${when(last.at)}`;
  const why = gap.stockOnly
    ? ' Nothing made in house can be ready by then: only stock or a delivery could have covered it.'
    : longer === null
      ? ''
      : ` Planning again, without any change, leaves ${round(longer)} L of them.`;
  return {
    bath,
    firstRound: gap.first,
    lastRound: gap.last,
    at: first.at,
    to: last.to,
    litres: gap.litres,
    bags,
    stockOnly: gap.stockOnly,
    sentence: `${bags} ${bags === 1 ? 'bag' : 'bags'} of ${bath} (${round(gap.litres)} L) ${bags === 1 ? 'is' : 'are'} missing in ${rounds}.${why}`,
    reliefs,
  };
}
