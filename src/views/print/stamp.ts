import type { Clock } from '../../calendar/clock.ts';
import { type Audited, type Standing, verdictText, warningsOf } from '../../reports/audited.ts';
import { DO_NOT_USE } from '../../words/verdict.ts';
import type { Stamp } from './flow.ts';

/** Characters of a title that two lines of a page's head hold. */
const TITLE = 80;
const shortened = (title: string): string =>
  title.length > TITLE ? `${title.slice(0, TITLE - 1).trimEnd()}…` : title;

/**
 * What stands on each page of a plan. A plan that the plan check did not pass, also one that nobody checked, bears that
 * across its pages and gets no labels. What the past broke, and what is lost, is told on each page.
 * @param verdict null: not checked
 */
export function stampOf(
  { title, clock }: { readonly title: string; readonly clock: Clock },
  verdict: Audited | null,
  standing: Standing,
  cautions: readonly string[],
): Stamp {
  return {
    scenario: shortened(title),
    madeAt: standing.madeAt,
    cautions,
    warnings: warningsOf(clock, verdict, standing),
    verdict: verdictText(clock, verdict, standing.held),
    barred: verdict?.ok ? null : DO_NOT_USE,
  };
}
