import type { Verdict } from '../../audit/verdict.ts';
import { countText } from '../../sheets/words.ts';
import type { Stamp } from './flow.ts';

export type Audited = Pick<Verdict, 'ok' | 'violations' | 'checked'>;

/**
 * What stands on each page of a plan. Only a plan whose audit passed is released; any other, also one that nobody
 * audited, bears that across its pages and gets no labels.
 * @param verdict null: not audited
 */
export function stampOf(
  scenario: string,
  verdict: Audited | null,
  madeAt: string,
  cautions: readonly string[],
): Stamp {
  const base = { scenario, madeAt, cautions };
  if (!verdict) return { ...base, verdict: 'NOT RELEASED: not audited', barred: 'NOT RELEASED: not audited' };
  if (!verdict.ok)
    return {
      ...base,
      verdict: `NOT RELEASED: audit failed, ${countText(verdict.violations.length, 'breach', 'breaches')} found`,
      barred: 'NOT RELEASED: audit failed',
    };
  const rules = countText(verdict.checked.length, 'rule');
  return { ...base, verdict: `Audit passed: ${rules} checked, none broken`, barred: null };
}
