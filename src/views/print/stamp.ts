import type { Clock } from '../../calendar/clock.ts';
import { type Audited, passedText, type Standing, warningsOf } from '../../reports/audited.ts';
import { countText } from '../../words/numbers.ts';
import type { Stamp } from './flow.ts';

/** Characters of a title that two lines of a page's head hold. */
const TITLE = 80;
const shortened = (title: string): string =>
  title.length > TITLE ? `${title.slice(0, TITLE - 1).trimEnd()}…` : title;

/**
 * What stands on each page of a plan. Only a plan whose audit passed is released; any other, also one that nobody
 * audited, bears that across its pages and gets no labels. What the past broke, and what is lost, is told on each page.
 * @param verdict null: not audited
 */
export function stampOf(
  { title, clock }: { readonly title: string; readonly clock: Clock },
  verdict: Audited | null,
  standing: Standing,
  cautions: readonly string[],
): Stamp {
  const warnings = warningsOf(clock, verdict, standing);
  const base = { scenario: shortened(title), madeAt: standing.madeAt, cautions, warnings };
  if (!verdict) return { ...base, verdict: 'NOT RELEASED: not audited', barred: 'NOT RELEASED: not audited' };
  if (!verdict.ok)
    return {
      ...base,
      verdict: `NOT RELEASED: audit failed, ${countText(verdict.violations.length, 'breach', 'breaches')} found`,
      barred: 'NOT RELEASED: audit failed',
    };
  return { ...base, verdict: `Audit ${passedText(clock, verdict, standing.held)}`, barred: null };
}
