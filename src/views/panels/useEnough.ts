import { useMemo } from 'react';
import { goodEnough } from '../../reports/enough.ts';
import { enoughText, GOOD_ENOUGH } from '../../words/verdict.ts';
import { isCurrent, isRecorded } from '../state/session.ts';
import { type State, useStore } from '../state/store.ts';

/** The plan that a search is improving, where it answers what is typed and passed the plan check. */
const improved = (state: State) => {
  const { run, planned, planning } = state;
  const searching = planning.state === 'planning' && run !== null && run.long && run.begun;
  return searching && planned?.verdict.ok && isCurrent(state) && !isRecorded(state) ? planned.plan : null;
};

/** Whether people can act on the plan on screen while a better one is looked for, in words, long and for the strip; null: no. */
export function useEnough(): { readonly text: string; readonly short: string } | null {
  const plan = useStore(improved);
  return useMemo(() => {
    const enough = plan && goodEnough(plan);
    if (!enough) return null;
    const { unmetLitres, reserveShort } = plan.score;
    const short =
      unmetLitres > 0 ? 'Need unmet' : reserveShort > 0 ? `${GOOD_ENOUGH}, reserve short` : GOOD_ENOUGH;
    return { text: enoughText({ ...enough, unmetLitres, reserveShort }), short: `${short}. Still looking` };
  }, [plan]);
}
