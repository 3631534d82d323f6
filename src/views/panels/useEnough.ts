import { useMemo } from 'react';
import { type Enough, goodEnough } from '../../reports/enough.ts';
import { enoughText } from '../../words/verdict.ts';
import { isCurrent, isRecorded } from '../state/session.ts';
import { type State, useStore } from '../state/store.ts';

/** The plan that a search is improving, where it answers what is typed and passed the plan check. */
const improved = (state: State) => {
  const { run, planned, planning } = state;
  const searching = planning.state === 'planning' && run !== null && run.long && run.begun;
  return searching && planned?.verdict.ok && isCurrent(state) && !isRecorded(state) ? planned.plan : null;
};

/** Whether people can act on the plan on screen while a better one is looked for, and in words; null: no. */
export function useEnough(): (Enough & { readonly text: string }) | null {
  const plan = useStore(improved);
  return useMemo(() => {
    const enough = plan && goodEnough(plan);
    return enough && { ...enough, text: enoughText(enough) };
  }, [plan]);
}
