/**
 * What one test came to. A test that neither ran nor says why not counts as failed: its process may have died, or
 * somebody left a `skip` behind.
 * @param {{ state: string, note?: string, fullName: string }} test as vitest tells it; a group that is skipped as a
 *   whole carries its reason in its title
 * @returns {{ outcome: 'passed' | 'failed' | 'skipped', why: string }}
 */
export function judge({ state, note, fullName }) {
  if (state === 'passed' || state === 'failed') return { outcome: state, why: '' };
  const why = note ?? /\((not run: [^()]*)\)/.exec(fullName)?.[1];
  if (state === 'skipped' && why) return { outcome: 'skipped', why };
  return {
    outcome: 'failed',
    why: state === 'skipped' ? 'skipped without a reason' : 'did not run to its end',
  };
}
