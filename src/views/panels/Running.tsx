import { useMemo } from 'react';
import { betterText } from '../../reports/better.ts';
import { gapOf } from '../../reports/summary.ts';
import type { Planned } from '../state/planned.ts';
import { isCurrent } from '../state/session.ts';
import { type State, useStore } from '../state/store.ts';
import { movesOf } from '../state/waiting.ts';
import { useEnough } from './useEnough.ts';
import { useLeft } from './useLeft.ts';

/** Share above the bound, percent, from which another search is worth a hint. */
const WORTH_A_SEARCH = 5;

/** A short search answered an edit, and what is proven leaves much room below it. */
function roomLeft({ quick, planned, scenario }: State): boolean {
  if (!quick || planned?.scenario !== scenario || planned.proof.state !== 'proven') return false;
  const { handsOnPercent } = gapOf(planned.plan);
  return handsOnPercent !== null && handsOnPercent > WORTH_A_SEARCH;
}

/** A better plan that would move what somebody looks at, or has on paper. */
function Waiting({ waiting }: { waiting: Planned }) {
  const planned = useStore((state) => state.planned);
  const answer = useStore((state) => state.answerWaiting);
  const text = useMemo(
    () => (planned ? betterText(movesOf(planned, waiting), planned.plan.score, waiting.plan.score) : ''),
    [planned, waiting],
  );
  return (
    <div className="waiting">
      <dt>Better plan ready</dt>
      <dd>
        <small role="status" className="moves">
          <span className="sr-only">Better plan ready: </span>
          {text}
        </small>{' '}
        <button type="button" className="main" onClick={() => answer(true)}>
          Show the better plan
        </button>{' '}
        <button type="button" onClick={() => answer(false)}>
          Stay with this one
        </button>
      </dd>
    </div>
  );
}

/** Whether a plan is being made, with the button that ends or begins it. */
export function Running() {
  const planning = useStore((state) => state.planning);
  const cancel = useStore((state) => state.cancelPlanning);
  const replan = useStore((state) => state.replan);
  const stale = useStore((state) => state.planned !== null && !isCurrent(state));
  const blocked = useStore((state) => state.problem === null);
  const room = useStore(roomLeft);
  const none = useStore((state) => state.planned === null);
  const broken = useStore((state) => state.planned?.verdict.ok === false);
  const waiting = useStore((state) => state.waiting);
  const run = useStore((state) => state.run?.number ?? null);
  const left = useLeft(planning.state === 'planning' ? run : null, planning.done);
  const busy = planning.state === 'planning';
  const enough = useEnough();
  if (waiting && !busy) return <Waiting waiting={waiting} />;
  return (
    <div className={busy ? 'plan-run running' : 'plan-run'}>
      <dt id="planning" title={enough?.text}>
        {busy
          ? enough
            ? enough.short
            : `Planning${left && `, ${left}`}`
          : none
            ? 'No plan yet'
            : stale
              ? blocked
                ? 'The plan is from before the errors'
                : 'The plan is from before the edit'
              : broken
                ? 'The plan breaks a rule'
                : room
                  ? 'Quick plan. A longer one may save work'
                  : 'The plan is up to date'}
      </dt>
      <dd>
        {busy && (
          <>
            <progress
              aria-labelledby="planning"
              title={left || undefined}
              value={planning.done}
              max={1}
            />{' '}
          </>
        )}
        {/* One button for both, so that who has the focus on it keeps it. */}
        <button
          type="button"
          onClick={() => (busy ? cancel() : replan(true))}
          disabled={!busy && blocked}
          title={
            busy
              ? undefined
              : 'Make a new plan from the start. The plan on screen stays unless a better one is found.'
          }
        >
          {busy ? 'Keep this plan' : 'Plan again'}
        </button>
      </dd>
    </div>
  );
}
