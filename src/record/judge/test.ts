import type { EntryOf } from '../entries.ts';
import type { Limits } from '../limits.ts';

/**
 * Whether a total chlorine test passed: what was ticked, but never above the site's limit (0.1 mg/L: ISO 23500-3:2019,
 * Table 1).
 */
export const testPassed = (
  { result, totalChlorine }: Pick<EntryOf<'test'>, 'result' | 'totalChlorine'>,
  { totalChlorine: most }: Pick<Limits, 'totalChlorine'>,
): boolean => result === 'pass' && !(totalChlorine != null && totalChlorine > most + 1e-9);
