import { useMemo, useState } from 'react';
import { withoutTestsDone } from '../../plan/testDone.ts';
import {
  type Attention,
  failureAttention,
  faultsAttention,
  nextWork,
  roundsAttention,
  supplyAttention,
  unmetAttention,
} from '../../reports/attention.ts';
import { coveredUntil, endOfDay, firstShort, nextRounds, roundNeeds } from '../../reports/coverage.ts';
import { bagsLeaving } from '../../reports/day/pickList.ts';
import { type PlaceNow, placesNow } from '../../reports/day/places.ts';
import { bathLooks } from '../../reports/palette.ts';
import { supplySeries } from '../../reports/supplySeries.ts';
import type { Question } from '../../reports/trace.ts';
import { bagsMissing, countText, numberText } from '../../words/numbers.ts';
import { roundHead, whenText } from '../../words/times.ts';
import { BathChip, Signal, type Tone } from '../look/Parts.tsx';
import { useTints } from '../look/useTints.ts';
import { Running } from '../panels/Running.tsx';
import { Said, Summary } from '../panels/Summary.tsx';
import { startOf } from '../state/dayRecord.ts';
import type { Planned } from '../state/planned.ts';
import { isCurrent, isRecorded } from '../state/session.ts';
import { ask, type State, useShallow, useStore } from '../state/store.ts';

interface Answer {
  readonly tone: Tone;
  /** What the question says already: it is left out where there is little room. */
  readonly lead?: string;
  readonly text: string;
  /** What it rests on. */
  readonly title: string;
  /** What its number comes from; absent where there is none. */
  readonly asks?: Question;
}

/** How far the plan on screen may be believed: it answers what is typed, or it is still searched on, or it is old. */
type Standing = 'settled' | 'searching' | 'old';

/** Is today covered, and until when is everything? What is unmet while the search goes on is not said as final. */
export function answersOf(planned: Planned, now: number, standing: Standing): readonly Answer[] {
  const { problem } = planned;
  // A plan for nobody breaks no rule and leaves nothing unmet: that is no good news.
  if (!planned.demand.bags.flat().some((bags) => bags > 0))
    return [{ tone: 'quiet', text: 'No bag is needed yet', title: 'Type beds, doses and baths first' }];
  const needs = roundNeeds(planned);
  const short = firstShort(needs, now);
  const end = endOfDay(problem, now);
  const today = needs.filter(({ round }) => round.to > now && round.from < end);
  const litres = today.reduce((sum, { unmetLitres }) => sum + unmetLitres, 0);
  const bags = bagsMissing(litres, problem.rules.fillLitres);
  const until = whenText(problem.clock, coveredUntil(planned, short, now));
  const asks = { of: 'covered', minute: now } as const;
  const tone: Tone = standing === 'settled' ? 'bad' : 'quiet';
  const so = standing === 'searching' ? ' so far' : standing === 'old' ? ' by the plan before' : '';
  const fine: Tone = standing === 'old' ? 'quiet' : 'good';
  return [
    litres > 1e-9
      ? {
          tone,
          text: `Today: ${countText(bags, 'bag')} unmet${so}`,
          title: `${numberText(litres)} L. From what?`,
          asks: { of: 'score', part: 'unmetLitres' },
        }
      : {
          tone: fine,
          text: `Today is covered${standing === 'old' ? so : ''}`,
          title: 'No bag round of today is short',
        },
    short
      ? {
          tone,
          lead: 'Covered ',
          text: `until ${until}${so}`,
          title: 'The bag round after that is short. From what?',
          asks,
        }
      : {
          tone: fine,
          lead: 'Covered ',
          text: `to the end, ${until}${standing === 'old' ? so : ''}`,
          title: 'No bag round of the plan is short. From what?',
          asks,
        },
  ];
}

const standingOf = (state: State): Standing => {
  if (!isCurrent(state)) return 'old';
  return state.planning.state === 'planning' && !state.searched ? 'searching' : 'settled';
};

/** A fill that runs and must not comes first, then the water that everything runs on. */
const worstOf = (bad: readonly PlaceNow[]): PlaceNow | undefined =>
  bad.find(({ window }) => window) ?? bad.find(({ kind }) => kind === 'water') ?? bad[0];

/** What the record says must be done before anything that is planned; null: nothing. */
function urgentOf(state: State): Attention | null {
  const start = state.problem ? startOf(state) : null;
  if (!start) return null;
  const { recall, dueNow } = start.state;
  const bags = (list: readonly number[]) => list.reduce((sum, count) => sum + count, 0);
  const back = bags(recall.map((one) => one.bags));
  if (back > 0) return { tone: 'bad', text: `Call back ${countText(back, 'bag')}` };
  const bad = worstOf(placesNow(start, []).filter(({ tone }) => tone === 'bad'));
  if (bad && state.view.arrangement === 'technician') {
    // Its first sentence says what to do; the card says the rest.
    const [first] = bad.says.split(/(?<=\.) /);
    return { tone: 'bad', text: `${bad.id}: ${first}` };
  }
  const due = bags(dueNow);
  return due > 0 ? { tone: 'bad', text: `Carry ${countText(due, 'bag')} now` } : null;
}

const WAIT: Attention = { tone: 'quiet', text: 'Wait: the plan follows from what was noted' };

/** Whether the bags that hang now were carried: asked before any work that rests on it. */
function roundsAsked(state: State): Attention | null {
  const start = state.problem ? startOf(state) : null;
  return start && state.problem ? roundsAttention(state.problem, start.state) : null;
}

const BROKEN: Attention = { tone: 'bad', text: 'Do not use this plan. Plan again' };

/** What this role should do or know first. No work of a plan that breaks a rule is asked for. */
export function attentionOf(state: State): Attention {
  const { view, planned, faults, now } = state;
  const inSheets = faultsAttention(faults);
  const urgent = urgentOf(state);
  if (urgent) return urgent;
  const { problem: typed, planning } = state;
  if (typed && planning.failure !== null && inSheets?.tone !== 'bad')
    return failureAttention(typed, planning.failure, planned !== null);
  if (planned && !planned.verdict.ok && inSheets?.tone !== 'bad') return BROKEN;
  const asked = roundsAsked(state);
  if (asked) return asked;
  if (!planned || inSheets?.tone === 'bad') return inSheets ?? { tone: 'quiet', text: 'Nothing' };
  const { problem, plan } = planned;
  const own =
    view.arrangement === 'technician'
      ? !isCurrent(state)
        ? WAIT
        : nextWork(
            problem,
            isRecorded(state) ? withoutTestsDone(problem, plan.activities) : plan.activities,
            {
              now,
              state: startOf(state)?.state ?? null,
            },
          )
      : view.arrangement === 'administrator'
        ? supplyAttention(problem, supplySeries(problem, plan.activities))
        : // While the search goes on the liters may still fall; "Until when?" tells them.
          standingOf(state) === 'settled'
          ? unmetAttention(problem, plan.score.unmetLitres)
          : null;
  return own ?? inSheets ?? { tone: 'quiet', text: 'Nothing' };
}

/**
 * Bags of the next bag round, by bath: the bags that leave, whatever they hold, and those that are missing. Nothing where
 * the plan is from before an edit or an entry.
 */
function NextRound({ planned, now }: { planned: Planned; now: number }) {
  const tints = useTints();
  const looks = useMemo(() => bathLooks(planned.problem.baths, tints), [planned, tints]);
  const leaving = useMemo(() => {
    const next = nextRounds(roundNeeds(planned), now, 1)[0];
    return next && { round: next.round, needed: next.bags, byBath: bagsLeaving(planned, next.round.index) };
  }, [planned, now]);
  if (!leaving) return null;
  const { round, needed, byBath } = leaving;
  return (
    <div className="next-bags">
      <dt>{`Next bags: ${roundHead(planned.problem.clock, { round: round.index, at: round.at })}`}</dt>
      <dd className="baths">
        <button
          type="button"
          className="plainly baths"
          data-testid="bags-next"
          title={`${countText(needed, 'bag')} needed. From what?`}
          onClick={() => ask({ of: 'roundBags', round: round.index })}
        >
          {looks.map((look, bath) => {
            const { bags, missing } = byBath[bath]!;
            return bags + missing > 0 ? (
              <span className="bath" key={look.bath}>
                <BathChip look={look} /> {numberText(bags)}
                {missing > 0 && <span className="missing">({numberText(missing)} missing)</span>}
              </span>
            ) : null;
          })}
        </button>
      </dd>
    </div>
  );
}

/** An answer; pressed, it says what its number comes from. */
function Spoken({ answer: { tone, lead, text, title, asks } }: { answer: Answer }) {
  const signal = (
    <Signal tone={tone} title={title}>
      {lead && <span className="lead">{lead}</span>}
      {text}
    </Signal>
  );
  if (!asks) return signal;
  return (
    <button type="button" className="plainly" onClick={() => ask(asks)}>
      {signal}
    </button>
  );
}

/** Letters from which an answer is written smaller. */
const LONG = 36;

/** What always stays in sight: is today covered, until when, what needs me now. All else is asked for. */
export function Strip() {
  const [open, setOpen] = useState(false);
  const now = useStore((state) => state.now);
  const planned = useStore((state) => state.planned);
  const standing = useStore(standingOf);
  const broken = useStore(({ planned }) => planned !== null && !planned.verdict.ok);
  const attention = useStore(useShallow((state) => attentionOf(state)));
  const answers = useMemo(() => (planned ? answersOf(planned, now, standing) : []), [planned, now, standing]);
  const [today, until] = broken ? [] : answers;
  return (
    <section aria-label="Summary" className="answers-strip">
      <div className="strip-line">
        <dl className="strip three">
          <div>
            <dt>Is today covered?</dt>
            <dd>
              {today ? (
                <Spoken answer={today} />
              ) : (
                <Signal tone={broken ? 'bad' : 'quiet'}>
                  {broken ? 'Not known: the plan breaks a rule' : 'No plan yet'}
                </Signal>
              )}
            </dd>
          </div>
          {until && (
            <div>
              <dt>Until when?</dt>
              <dd>
                <Spoken answer={until} />
              </dd>
            </div>
          )}
          <div className="grows">
            <dt>What needs me now?</dt>
            <dd className={attention.text.length > LONG ? 'long' : undefined}>
              <Signal tone={attention.tone} title={attention.text}>
                {attention.text}
              </Signal>
            </dd>
          </div>
        </dl>
        <dl className="strip tools">
          {planned && !broken && standing !== 'old' && <NextRound planned={planned} now={now} />}
          <Running />
          <div>
            <dt>&nbsp;</dt>
            <dd>
              <button type="button" aria-expanded={open} onClick={() => setOpen(!open)}>
                How good is this plan?
              </button>
            </dd>
          </div>
        </dl>
      </div>
      {open && <Summary />}
      <Said />
    </section>
  );
}
