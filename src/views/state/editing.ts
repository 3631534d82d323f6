import { type Clock, isLocalTime, knowsZone, makeClock } from '../../calendar/clock.ts';
import { fromNowOn, reachesBack } from '../../grid/fromNow.ts';
import { commit, type Edited, type Recipe, redo, type Step as Undone, undo } from '../../grid/history.ts';
import {
  bedsIn,
  leavingOut,
  type PrescriptionChange,
  prescriptionChanges,
} from '../../grid/prescriptions.ts';
import { renamed } from '../../grid/renamed.ts';
import type { SlackOffer } from '../../hold/offers.ts';
import { asPlan } from '../../plan/asPlan.ts';
import { NOTHING_PROVEN, type Plan } from '../../plan/plan.ts';
import { namesLost } from '../../record/named.ts';
import { MINUTES_A_DAY } from '../../scenario/problem/types.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { countText, listText } from '../../words/numbers.ts';
import { markEdited } from './duplicates.ts';
import { type Act, type Answered, after, type Step, step } from './events.ts';
import { judge } from './judge.ts';
import { judgePlan, sameClock } from './planned.ts';
import { planSoon } from './planRun.ts';
import { halt, prove } from './proofRun.ts';
import { type Answer, heldAt, IDLE, isCurrent, isRecorded, meant, type Session } from './session.ts';

/** ms, for further keystrokes to come in before it is planned */
const WAIT_MS = 300;

/** ms that a note of what was done stays. */
const SAID_MS = 8000;

/** A note of what was done, which goes again by itself. */
export function noted(session: Session, text: string | undefined): Step {
  if (text === undefined) return step(session);
  const notice = { tone: 'done', text } as const;
  return step(session, { notice }, { do: 'later', wait: SAID_MS, next: { is: 'faded', notice } });
}

/** What the record names stays in the lists: why an edit, an undo or a redo is not done; null: it takes no such name away. */
function refused(session: Session, { scenario }: Edited): Step | null {
  const { names, entries } = namesLost(session.scenario, scenario, session.record.noted);
  if (names.length === 0) return null;
  const [stays, name] = names.length === 1 ? ['stays', 'this name'] : ['stay', 'these names'];
  const text = `${listText(names)} ${stays} as typed: the record has ${countText(entries, 'entry', 'entries')} under ${name}, and the plan would lose what was done. For something new, insert another row.`;
  return step({ ...session, review: null }, { notice: { tone: 'warn', text } });
}

/** On a recorded day a prescription is changed from now on, unless somebody says that it was so from the start. */
function laterInstead(session: Session, recipe: Recipe, changes: readonly PrescriptionChange[]) {
  const { scenario, problem, now } = session;
  const at = isRecorded(session) ? problem?.clock.localOf(now) : undefined;
  return at !== undefined && reachesBack(changes, scenario, at)
    ? { recipe: fromNowOn(recipe, scenario, at), at }
    : null;
}

/** An act is done at once, unless it changes more than one prescription, what hung already, or rows: then it asks first. */
export function edit(session: Session, act: Act, madeAt: string): Step {
  const { label, recipe, overwrites = [], instead = null, told, givesRow = false, leftOut = [] } = act;
  const edited = commit(session, label, recipe);
  if (edited.scenario === session.scenario) return step(session);
  const no = refused(session, edited);
  if (no) return no;
  const changes = prescriptionChanges(session.scenario, edited.scenario);
  const fromNow = laterInstead(session, recipe, changes);
  if ((bedsIn(changes) > 1 && !givesRow) || overwrites.length + leftOut.length > 0 || fromNow)
    return step(session, { review: { label, recipe, changes, overwrites, leftOut, instead, fromNow, told } });
  return after(take(session, edited, madeAt), (now) => noted(now, told));
}

/** The act that was asked about is done, without the beds left out; or another in its place; or nothing. */
export function reviewed(session: Session, answer: Answered, madeAt: string): Step {
  const { review, scenario } = session;
  const closed = { ...session, review: null };
  if (!review || answer.go === 'back') return step(closed);
  if (answer.go === 'instead') {
    const { instead } = review;
    if (!instead) return step(closed);
    const told = `${countText(instead.rows, 'row')} inserted at the end.`;
    const inserted = commit(closed, instead.label, instead.recipe);
    return refused(closed, inserted) ?? after(take(closed, inserted, madeAt), (now) => noted(now, told));
  }
  const { leftOut } = answer;
  const asked = (answer.go === 'fromNow' && review.fromNow?.recipe) || review.recipe;
  const recipe = leftOut.size > 0 ? leavingOut(asked, scenario, leftOut) : asked;
  const beds = bedsIn(review.changes.filter(({ patient }) => !leftOut.has(patient)));
  const told =
    review.told ?? (beds > 0 ? `${countText(beds, 'prescription')} changed: ${review.label}.` : undefined);
  const edited = commit(closed, review.label, recipe);
  return refused(closed, edited) ?? after(take(closed, edited, madeAt), (now) => noted(now, told));
}

/** Back to before the last act, or on again; says which act it was. */
export function goBack(session: Session, way: 'undo' | 'redo', madeAt: string): Step {
  const done = way === 'undo' ? session.history.past.at(-1) : session.history.future[0];
  if (!done) return step(session);
  const edited = way === 'undo' ? undo(session) : redo(session);
  const told = `${way === 'undo' ? 'Undone' : 'Done again'}: ${done.label}.`;
  return refused(session, edited) ?? after(take(session, edited, madeAt), (now) => noted(now, told));
}

/** Errors in the sheets keep what was asked for from being planned: said, for nothing else on screen would change. */
function nothingPlanned(session: Session): Step {
  const errors = session.faults.filter(({ level }) => level === 'error').length;
  const text = `Nothing is planned: mend ${countText(errors, 'error')} in the sheets first. Then the plan is made that way.`;
  return step(session, { notice: { tone: 'warn', text } });
}

/**
 * A plan with slack goes on screen as it was offered, and its slack into the scenario: one act, which undo takes back with
 * the plan of before. Null: planning keeps no slack from now on.
 */
export function slackTaken(
  session: Session,
  offer: Pick<SlackOffer, 'slack' | 'activities'> | null,
  madeAt: string,
): Step {
  const label = offer ? 'slack in the plan' : 'no slack in the plan';
  const edited = commit(session, label, (draft) => {
    if (offer) draft.slack = { ...offer.slack };
    else delete draft.slack;
  });
  const { planned, lost, byHand, now, baseline, given } = session;
  const meaning = meant({ ...session, ...edited, ...judge(edited.scenario) });
  if (!meaning) return after(take(session, edited, madeAt), nothingPlanned);
  if (!offer || !planned) return take(session, edited, madeAt);
  // It was made for what was typed before: its slack is kept, and the plan is made for what is typed now.
  if (!isCurrent(session))
    return after(take(session, edited, madeAt), (s) =>
      noted(s, 'That plan was made before your edit. A new plan with its slack is being made.'),
    );
  const plan = asPlan(meaning.problem, offer.activities, { bound: NOTHING_PROVEN, remarks: [], seconds: 0 });
  const shown = judgePlan(meaning, plan, { since: baseline, held: heldAt(session), madeAt });
  const answer = {
    planned: shown,
    searched: true,
    quick: false,
    lost,
    byHand,
    open: false,
    now,
    baseline,
    given,
  };
  const known = { ...session, answers: new Map([...session.answers, [edited.scenario, answer]]) };
  const told = `The plan now keeps slack for late work.${isRecorded(session) ? '' : ' Undo brings back the plan before.'}`;
  // A recorded day goes on from what was done: what is offered is then the plan that stays where it can.
  const from = isRecorded(session) ? { ...known, planned: { ...shown, scenario: planned.scenario } } : known;
  return after(take(from, edited, madeAt), (s) => noted(s, told));
}

/** The scenario after an edit, an undo or a redo takes the place of the one before: demand at once, the plan shortly after. */
export function take(session: Session, edited: Edited, madeAt: string): Step {
  const { scenario: old, baseline, clean, holdPast, variantsChanged } = session;
  const { scenario, history } = edited;
  if (scenario === old) return step(session);
  const answers = remembered(session, history.past.concat(history.future));
  const unsaved = scenario !== clean || holdPast || variantsChanged;
  const judged = judge(scenario);
  const faults = markEdited(judged.faults, scenario, history.past);
  const taken = { ...session, ...edited, ...judged, faults, answers, unsaved };
  if (!sameClock(old, scenario)) Object.assign(taken, restarted(session, taken));
  else if (baseline)
    taken.baseline = { ...baseline, activities: renamed(old, scenario, baseline.activities) };
  return recalled(taken, madeAt);
}

/**
 * What a session keeps under another start or time zone. Minutes count from the start: of another one nothing is known to
 * be done. What was noted was, though: of a recorded day it stays the same local time, and whoever comes back to a start
 * has the plan that people had there.
 */
function restarted(session: Session, taken: Session): Partial<Session> {
  const none = { baseline: null, given: null, now: 0, holdPast: false, lost: [] };
  if (!isRecorded(session)) return none;
  const back = taken.answers.get(taken.scenario);
  const [from, to] = [clockIn(session), clockIn(taken)];
  const same = from && to ? to.minuteOf(from.localOf(session.now)) : session.now;
  const last = lastMinute(taken);
  // At the edge of a plan it may have been cut: where people come from tells the time then.
  const isCut = session.now <= 0 || session.now >= lastMinute(session) || same < 0 || same > last;
  const now = (isCut ? back?.now : undefined) ?? Math.max(0, Math.min(same, last));
  return { ...none, now, ...(back && { planned: back.planned, baseline: back.baseline, given: back.given }) };
}

/** The clock of a scenario, which may have errors; null: its start or time zone tells none. */
const clockIn = ({ scenario: { timeZone, start } }: Session): Clock | null =>
  knowsZone(timeZone) && isLocalTime(start) ? makeClock(timeZone, start) : null;
const lastMinute = ({ problem, scenario }: Session): number =>
  (problem?.horizon ?? scenario.days * MINUTES_A_DAY) - 1;

/** The answers worth keeping, with the one on screen if it answers the scenario that is left. */
function remembered(session: Session, steps: readonly Undone[]): ReadonlyMap<Scenario, Answer> {
  const { scenario, planned, searched, quick, lost, byHand, planning, now, baseline, given } = session;
  const within = new Set(steps.flatMap(({ before, after }) => [before, after]));
  const answers = new Map([...session.answers].filter(([of]) => within.has(of)));
  const open = planning.state === 'planning';
  if (planned?.scenario === scenario)
    answers.set(scenario, { planned, searched, quick, lost, byHand, open, now, baseline, given });
  return answers;
}

/** Shows the plan that this scenario had before, if any; plans where there is none, or it was still being improved. */
function recalled(session: Session, madeAt: string): Step {
  const soon = (now: Session) => planSoon(now, { wait: WAIT_MS, anew: false, madeAt });
  const before = session.answers.get(session.scenario);
  const meaning = meant(session);
  // What was done stands whatever is undone: the plan goes on from there.
  if (!before || !meaning || isRecorded(session)) return soon(session);
  const { searched, quick, lost, byHand, open } = before;
  const { plan, proof } = before.planned;
  const held = heldAt(session);
  // What was done meanwhile by another plan stands; all else is as it was, what seemed lost too.
  const done = ({ activities }: Plan) =>
    JSON.stringify(activities.filter(({ start }) => start >= before.now && start < held));
  if (session.planned && done(session.planned.plan) !== done(plan)) return soon({ ...session, lost });
  const again = after(halt(session), (halted) => {
    const planned = judgePlan(meaning, plan, { since: halted.baseline, held, madeAt, proof });
    return step(halted, { planned, searched: searched && !open, quick, lost, byHand, planning: IDLE });
  });
  if (open) return after(again, soon);
  return proof.state === 'proven' ? again : after(again, prove);
}
