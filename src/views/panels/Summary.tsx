import { useMemo } from 'react';
import { bagsHung, endOfDay } from '../../reports/coverage.ts';
import { bathLooks } from '../../reports/palette.ts';
import { needSummary } from '../../reports/summary.ts';
import type { Question } from '../../reports/trace.ts';
import { MINUTES_A_DAY } from '../../scenario/problem/types.ts';
import { countText, missingText, numberText } from '../../words/numbers.ts';
import { checkText, proofText, unmetProofText } from '../../words/verdict.ts';
import { useTints } from '../look/useTints.ts';
import { type Planned, proofRemarks } from '../state/planned.ts';
import { isCurrent } from '../state/session.ts';
import { ask, useStore } from '../state/store.ts';
import { useEnough } from './useEnough.ts';

/** A number that says what it comes from when it is pressed. */
function Asks({ question, id, children }: { question: Question; id?: string; children: React.ReactNode }) {
  return (
    <button
      type="button"
      className="plainly"
      title="From what?"
      data-testid={id}
      onClick={() => ask(question)}
    >
      {children}
    </button>
  );
}

/** What the doses of this moment need: today, and as a mean that is named one. */
function Need() {
  const problem = useStore((state) => state.problem);
  const demand = useStore((state) => state.demand);
  const now = useStore((state) => state.now);
  const tints = useTints();
  const need = useMemo(() => (problem && demand ? needSummary(problem, demand) : null), [problem, demand]);
  const looks = useMemo(() => bathLooks(problem?.baths ?? [], tints), [problem, tints]);
  if (!need || !problem || !demand)
    return (
      <div>
        <dt>Need</dt>
        <dd className="bad" data-testid="need">
          unknown <small>until the errors are corrected</small>
        </dd>
      </div>
    );
  const end = endOfDay(problem, now);
  const today = bagsHung(demand, problem.baths.length, { from: now, to: end });
  const chips = (counts: readonly number[]) =>
    looks.map(({ bath, tint, ink }, index) =>
      counts[index]! > 0 ? (
        <span className="bath" key={bath}>
          <span className="chip" style={{ background: tint, color: ink }}>
            {bath}
          </span>
          {numberText(counts[index]!)}
        </span>
      ) : null,
    );
  return (
    <>
      <div>
        <dt>Today, to midnight</dt>
        <dd className="baths">
          <Asks question={{ of: 'hung', from: now, to: end }} id="bags-today">
            {countText(total(today), 'bag')}
          </Asks>
          {chips(today)}
        </dd>
      </div>
      <div>
        <dt>Mean per day, {countText(problem.horizon / MINUTES_A_DAY, 'day')}</dt>
        <dd>
          <span data-testid="bags-a-day">{numberText(need.bagsADay)}</span> <small>bags,</small>{' '}
          <span data-testid="litres-a-day">{numberText(need.litresADay, 0)}</span>{' '}
          <small>L in whole bags,</small>{' '}
          <span data-testid="dosed-a-day">{numberText(need.dosedLitresADay, 0)}</span>{' '}
          <small>L by the doses</small>
        </dd>
      </div>
    </>
  );
}
const total = (counts: readonly number[]): number => counts.reduce((all, count) => all + count, 0);

/** How far this plan is from what is proven of every plan there could be; during a search whether people can act on it. */
function Limit({ planned: { plan, proof } }: { planned: Planned }) {
  const enough = useEnough();
  const { score, bound } = plan;
  const unproven = bound.handsOnMinutes === null && bound.unmetLitres === null;
  const lines = unproven
    ? [proof.state === 'running' ? 'The proof is under way. The plan is complete.' : 'Not proven yet.']
    : [
        unmetProofText(score.unmetLitres, bound.unmetLitres),
        proofText(score.handsOnMinutes, bound.handsOnMinutes),
      ];
  const failed =
    proof.state === 'failed' ? `No more is proven: ${proof.why}. The plan does not depend on it.` : '';
  const proven = [...lines, failed].filter((line) => line !== '').join(' ');
  return <small title={enough ? proven : undefined}>{enough?.text ?? proven}</small>;
}

/** What is proven of the plan on screen, said to be old where the plan is. */
function Proof({ planned }: { planned: Planned }) {
  const current = useStore(isCurrent);
  return (
    <div className={current ? '' : 'old'}>
      <dt title={proofRemarks(planned.proof).join('\n') || undefined}>
        Proof{current ? planned.proof.state === 'running' && ' …' : ' (before the edit)'}
      </dt>
      <dd data-testid="bound" className="limit">
        <Limit planned={planned} />
      </dd>
    </div>
  );
}

function Worth() {
  const planned = useStore((state) => state.planned);
  const current = useStore(isCurrent);
  // What a first search has not covered yet it may still cover.
  const searching = useStore(({ planning, searched }) => planning.state === 'planning' && !searched);
  if (!planned)
    return (
      <div>
        <dt>Plan</dt>
        <dd>
          <small>not made yet</small>
        </dd>
      </div>
    );
  const { plan, verdict } = planned;
  const { fillLitres } = planned.problem.rules;
  if (!planned.demand.bags.flat().some((bags) => bags > 0))
    return (
      <div>
        <dt>Plan</dt>
        <dd>
          <small>no bag is needed yet</small>
        </dd>
      </div>
    );
  const short = plan.score.unmetLitres > 1e-6;
  return (
    <>
      <div className={current ? '' : 'old'}>
        <dt>
          Unmet{current ? (searching && short ? ' so far, still searching' : '') : ' (before the edit)'}
        </dt>
        <dd>
          <button
            type="button"
            className={short ? (searching ? 'pill' : 'pill bad') : 'pill good'}
            title="From what?"
            onClick={() => ask({ of: 'score', part: 'unmetLitres' })}
          >
            {short ? (searching ? '…' : '▲') : '✓'} {numberText(plan.score.unmetLitres)} L
          </button>
        </dd>
      </div>
      {plan.score.reserveShort > 1e-6 && (
        <div className={current ? '' : 'old'}>
          <dt title="Bags wanted in stock at the end of the plan that are not there">
            Short of the reserve{current ? '' : ' (before the edit)'}
          </dt>
          <dd>
            <button
              type="button"
              className="pill bad"
              title="From what?"
              onClick={() => ask({ of: 'score', part: 'reserveShort' })}
            >
              ▲ {missingText(plan.score.reserveShort * fillLitres, fillLitres)}
            </button>
          </dd>
        </div>
      )}
      <div className={current ? '' : 'old'}>
        <dt title="Technician time for bag swaps, new circuits, bath changes and total chlorine tests, over the whole plan">
          Hands-on work{current ? '' : ' (before the edit)'}
        </dt>
        <dd>
          <button
            type="button"
            className="plainly"
            title="From what?"
            onClick={() => ask({ of: 'score', part: 'handsOnMinutes' })}
          >
            {numberText(plan.score.handsOnMinutes / 60)} <small>h in total</small>
          </button>
        </dd>
      </div>
      <Proof planned={planned} />
      <div className={current ? '' : 'old'}>
        <dt title="Each plan is checked again, rule by rule, before it is shown.">
          Plan check{current ? '' : ' (before the edit)'}
        </dt>
        <dd>
          <span className={verdict.ok ? 'pill good' : 'pill bad'} data-testid="audit">
            {verdict.ok ? '✓ passed' : `✕ ${checkText(verdict.checked.length, verdict.violations.length)}`}
          </span>{' '}
          <small>{countText(verdict.checked.length, 'rule')}</small>
          {verdict.history.length > 0 && (
            <small title={verdict.history.map(({ message }) => message).join('\n')}>
              , {verdict.history.length} broken before now
            </small>
          )}
        </dd>
      </div>
    </>
  );
}

/** How much of the plan is not as it stood when a person last took note of it. */
function Changed() {
  const changes = useStore((state) => state.planned?.changes);
  const all = useStore((state) => state.planned?.plan.activities.length ?? 0);
  const note = useStore((state) => state.noteChanges);
  if (!changes) return null;
  const { since, marked, gone } = changes;
  const none = marked.size + gone.length === 0;
  return (
    <div>
      <dt title={`Compared with the plan of ${since.madeAt}`}>Work changed since {since.madeAt.slice(11)}</dt>
      <dd data-testid="changed">
        {marked.size}{' '}
        <small>
          of {numberText(all)}
          {gone.length > 0 && `, ${numberText(gone.length)} gone`}
        </small>{' '}
        {!none && (
          <button
            type="button"
            onClick={note}
            title="Remove the marks. Later changes are then compared with this plan."
          >
            Mark as read
          </button>
        )}
      </dd>
    </div>
  );
}

/** For those who do not see the strip: when a search begins and what it came to. */
export function Said() {
  const busy = useStore((state) => state.planning.state === 'planning');
  const planned = useStore((state) => (isCurrent(state) ? state.planned : null));
  const plan =
    planned &&
    `${numberText(planned.plan.score.unmetLitres)} L unmet. ${checkText(planned.verdict.checked.length, planned.verdict.violations.length)}`;
  return (
    <p className="sr-only" role="status">
      {busy ? 'Planning' : plan && `Planned: ${plan}`}
    </p>
  );
}

/** How good is this plan: the need behind it, what it is worth, what is proven, and whether it may be trusted. */
export function Summary() {
  return (
    <dl className="strip">
      <Need />
      <Worth />
      <Changed />
    </dl>
  );
}
