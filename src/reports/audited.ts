import type { Verdict } from '../audit/verdict.ts';
import type { Clock } from '../calendar/clock.ts';
import { countText } from '../words/numbers.ts';
import { whenText } from '../words/times.ts';

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
 * The audit's word on a plan that broke nothing from now on: 'passed' alone only where the past broke nothing either.
 * @returns e.g. 'passed: 23 rules checked, none broken', or 'passed only from Tue, Feb 4, 20:30 on'
 */
export const passedText = (clock: Clock, verdict: Audited, held: number): string =>
  verdict.history.length > 0
    ? `passed only from ${whenText(clock, held)} on`
    : `passed: ${countText(verdict.checked.length, 'rule')} checked, none broken`;

/** What a reader must know before using any page or table of a plan; nothing where all is well. */
export function warningsOf(clock: Clock, verdict: Audited | null, standing: Standing): string[] {
  const { held, lost, edited } = standing;
  const breaches = verdict?.history.length ?? 0;
  return [
    ...(edited
      ? ['The scenario was edited after this plan was made: do not work by it before it is planned again.']
      : []),
    ...(breaches > 0
      ? [
          `What was begun before ${whenText(clock, held)} breaks rules as they stand now, ${countText(breaches, 'breach', 'breaches')}: judge those bags before use.`,
        ]
      : []),
    ...(lost.length > 0
      ? [
          `Work begun before ${whenText(clock, held)} is lost; no bags of it count. Overview, run sheet and workbook say what.`,
        ]
      : []),
  ];
}

/** The same in full, a sentence each: what is lost, then each rule broken in the past, in order of time. */
export const pastTexts = (verdict: Audited | null, { lost }: Standing): string[] => [
  ...lost,
  ...[...(verdict?.history ?? [])].sort((a, b) => a.start - b.start).map(({ message }) => message),
];
