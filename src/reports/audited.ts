import type { Verdict } from '../audit/verdict.ts';
import type { Clock } from '../calendar/clock.ts';
import { countText } from '../words/numbers.ts';
import { whenText } from '../words/times.ts';
import { checkedFromText, checkText, DO_NOT_USE } from '../words/verdict.ts';

export type Audited = Pick<Verdict, 'ok' | 'violations' | 'history' | 'checked'>;

/** How a plan on paper or in a file came to be what it is. */
export interface Standing {
  /** When it was made, local time of this computer, e.g. 2031-02-03 06:12. */
  readonly madeAt: string;
  /** min; what begins before was held as history, 0: nothing. */
  readonly held: number;
  /** What of the work begun before is lost, a sentence each. */
  readonly lost: readonly string[];
  /** The scenario was edited since. */
  readonly edited: boolean;
}

/**
 * The plan check's word: 'passed' alone only where nothing broke a rule, also not in the past.
 * @param verdict null: nobody checked
 * @param held min; what begins before was held as history
 * @returns e.g. 'Plan check passed: 23 rules', 'Plan check passed from Tue, Feb 4, 20:30 on', 'DO NOT USE THIS PLAN: ...'
 */
export function verdictText(clock: Clock, verdict: Audited | null, held: number): string {
  if (!verdict) return `${DO_NOT_USE}: it is not checked`;
  if (verdict.ok && verdict.history.length > 0) return checkedFromText(whenText(clock, held));
  // A verdict that is not good is never said to pass, whatever it lists.
  return checkText(verdict.checked.length, verdict.ok ? 0 : Math.max(1, verdict.violations.length));
}

/** What a reader must know before using any page or table of a plan; nothing where all is well. */
export function warningsOf(clock: Clock, verdict: Audited | null, standing: Standing): string[] {
  const { held, lost, edited } = standing;
  const broken = verdict?.history.length ?? 0;
  return [
    ...(edited ? ['Plan again before you use this: the scenario was edited after the plan was made.'] : []),
    ...(broken > 0
      ? [
          `Judge the bags made before ${whenText(clock, held)} before use: ${countText(broken, 'rule is', 'rules are')} broken there, as the rules stand now.`,
        ]
      : []),
    ...(lost.length > 0
      ? [
          `Do not use bags begun before ${whenText(clock, held)} that are listed as discarded. The overview, shift worksheet and workbook list them.`,
        ]
      : []),
  ];
}

/** The same in full, a sentence each: what is lost, then each rule broken in the past, in order of time. */
export const pastTexts = (verdict: Audited | null, { lost }: Standing): string[] => [
  ...lost,
  ...[...(verdict?.history ?? [])].sort((a, b) => a.start - b.start).map(({ message }) => message),
];
