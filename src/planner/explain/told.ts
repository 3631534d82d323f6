import type { Plan } from '../../plan/plan.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { type Limit, type Probe, round } from './probeKinds.ts';
import { type Gap, SAME } from './shortages.ts';

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

/** What sentences need to know; `when` is how a minute is told. */
export interface Telling {
  readonly problem: Problem;
  readonly when: (minute: number) => string;
}

/** Bags from outside, there when the rounds leave: always clears, whatever the plan. */
export function stockRelief({ problem, when }: Telling, gap: Gap): Relief {
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

/** What came of looking into one limit for one gap. */
export interface Looked {
  readonly probe: Probe;
  /** A plan with so much of it, wanted from..to (null: no matter of time). */
  readonly by: number;
  readonly chosen: Plan;
  readonly span: { readonly from: number; readonly to: number } | null;
  /** L missing without and with it. */
  readonly before: number;
  readonly after: number;
  /** Less of it might do as well: nobody had the time to look. */
  readonly perhapsLess: boolean;
  /** Proven: no plan with the most of it leaves less unmet. */
  readonly cannot: boolean;
}

/** Whether so much of a relief leaves less of the gap. */
export const helps = ({ by, before, after }: Looked): boolean => by > 0 && after < before - 0.05;

/** One limit's relief in words. */
export function reliefOf({ when }: Telling, looked: Looked): Relief {
  const { probe, by, chosen, span, after, perhapsLess, cannot } = looked;
  const before = round(looked.before);
  const good = helps(looked);
  const timed = good ? span : null;
  const said = timed ? `from ${when(timed.from)} to ${when(timed.to)}` : 'at all times';
  const change = good ? probe.tell(by, chosen, said) : probe.tellMost;
  const effect = !good ? 'does not help' : after <= 0.05 ? 'clears' : 'reduces';
  const did = {
    clears: `clears the ${before} L`,
    reduces: `reduces the ${before} L to ${round(after)} L`,
    'does not help': cannot ? 'proven not to help' : 'did not help in a short search',
  }[effect];
  const perhaps = good && perhapsLess ? '; perhaps less would do' : '';
  const caution =
    probe.safety && good ? ' (a limit of safety: this names the cause, it is nothing to relax)' : '';
  return {
    limit: probe.limit,
    change,
    quantity: by,
    unit: probe.unit,
    place: probe.place,
    from: timed?.from ?? null,
    to: timed?.to ?? null,
    before,
    after: good ? round(after) : before,
    effect,
    proven: !good && cannot,
    safety: probe.safety,
    sentence: `${change[0]!.toUpperCase()}${change.slice(1)}: ${did}${perhaps}${caution}.`,
  };
}

const RANKS = ['clears', 'reduces', 'does not help'];

/** What clears it first, limits of safety behind others, then what leaves least. */
const bestFirst = (reliefs: readonly Relief[]): Relief[] =>
  [...reliefs].sort(
    (a, b) =>
      RANKS.indexOf(a.effect) - RANKS.indexOf(b.effect) ||
      Number(a.safety) - Number(b.safety) ||
      a.after - b.after,
  );

/**
 * A shortage in words, with what would clear it, best first.
 * @param longer L that planning again without any change leaves of it; null: no less
 * @param more said behind it
 */
export function shortageOf(
  { problem, when }: Telling,
  gap: Gap,
  reliefs: readonly Relief[],
  { longer = null, more = '' }: { readonly longer?: number | null; readonly more?: string } = {},
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
    sentence: `${bags} ${bags === 1 ? 'bag' : 'bags'} of ${bath} (${round(gap.litres)} L) ${bags === 1 ? 'is' : 'are'} missing in ${rounds}.${why}${more}`,
    reliefs: bestFirst(reliefs),
  };
}
