import type { Shortage } from '../../planner/plan.ts';
import { ARRANGEMENTS, type View } from './arrangements.ts';
import { clinicalTold, dropStaleClinical } from './clinical.ts';
import { NO_RECORD } from './dayRecord.ts';
import { edit, goBack, reviewed, slackTaken } from './editing.ts';
import { after, type Event, type Settings, type Step, step } from './events.ts';
import { fileRead, fileWished, fileWritten, load, saved } from './files.ts';
import { clashAnswered, draftTaken, fileNewer } from './merging.ts';
import {
  continueFrom,
  notedOnDisk,
  noteFailed,
  noteWished,
  recordLeft,
  recordOpened,
  recordRead,
  watched,
} from './noting.ts';
import { type Baseline, changesOf } from './planned.ts';
import { baselineOf, cancelled, planSoon, progressed, runEnded, runFailed } from './planRun.ts';
import { endWhenBest, proofFailed, prove, provenOf } from './proofRun.ts';
import { type Explained, isRecorded, type Session } from './session.ts';
import { waitingAnswered } from './waiting.ts';

/**
 * What an event makes of a session, and what is then to be done outside. Pure: the same session, event and time give the
 * same step.
 * @param at local time of this computer, e.g. 2031-02-03 06:12
 */
export const reduce = (session: Session, event: Event, at: string): Step =>
  after(after(reduced(session, event, at), dropStaleQuestion), dropStaleClinical);

function reduced(session: Session, event: Event, at: string): Step {
  switch (event.is) {
    case 'edit':
      return edit(session, event.act, at);
    case 'reviewed':
      return reviewed(session, event.answer, at);
    case 'undo':
    case 'redo':
      return goBack(session, event.is, at);
    case 'load':
      return load(session, event.scenario, event.file, at);
    case 'saved':
      return saved(session, event.file);
    case 'replan':
      return planSoon(session, { wait: 0, anew: event.anew, asked: true, madeAt: at });
    case 'slackTaken':
      return slackTaken(session, event.offer, at);
    case 'cancelPlanning':
      return cancelled(session, at);
    case 'noteChanges':
      return noted(session);
    case 'waitingAnswered':
      return after(waitingAnswered(session, event.take), prove);
    case 'used':
      return step(session, { used: session.planned?.plan.activities ?? null });
    case 'progress':
      return after(progressed(session, event.run, event.progress, at), endWhenBest);
    case 'planned':
      return runEnded(session, event.run, event.plan, at);
    case 'planFailed':
      return runFailed(session, event.run, event.why);
    case 'byHand':
      return session.run?.number === event.run ? step(session, { byHand: event.byHand }) : step(session);
    case 'proven':
      return after(provenOf(session, event.run, event.state, event.proven), endWhenBest);
    case 'proofFailed':
      return proofFailed(session, event.run, event.why);
    case 'explain':
      return explain(session);
    case 'stopExplaining':
      return step(session, { explained: null }, { do: 'stopExplaining' });
    case 'explaining':
      return explained(session, event.of, () => ({ replans: event.replans }));
    case 'shortage':
      return explained(session, event.of, ({ shortages }) => ({
        shortages: withShortage(shortages, event.shortage),
      }));
    case 'explained':
      return explained(session, event.of, () => ({ state: 'answered', shortages: event.shortages }));
    case 'explainFailed':
      return explained(session, event.of, () => ({ state: 'failed', message: event.why }));
    case 'askClinical':
    case 'stopClinical':
    case 'clinicalWay':
    case 'clinicalDone':
    case 'clinicalFailed':
      return clinicalTold(session, event);
    case 'set':
      return settings(session, event.part, at);
    case 'note':
      return noteWished(session, event.drafts);
    case 'noted':
      return notedOnDisk(session, event, at);
    case 'noteFailed':
      return noteFailed(session, event.why, event.drafts);
    case 'continue':
      return continueFrom(session, at);
    case 'watch':
      return watched(session);
    case 'recordRead':
      return recordRead(session, event, at);
    case 'recordUnread':
      return step(session, { record: { ...session.record, failure: event.why } });
    case 'file':
      return fileWished(session, event, at);
    case 'fileRead':
      return event.opened
        ? after(fileRead({ ...session, record: NO_RECORD }, event.opened, at), recordOpened)
        : step(session, { notice: null });
    case 'fileWritten':
      return after(fileWritten(session, event), (now) => recordLeft(now, session));
    case 'fileNewer':
      return fileNewer(session, event.newer, at);
    case 'clashAnswered':
      return clashAnswered(session, event.choices, at);
    case 'draftTaken':
      return draftTaken(session, event.draft, at);
    case 'fileFailed':
      return step(session, { notice: { tone: 'bad', text: event.why } });
    default:
      return looked(session, event);
  }
}

/** Share of the height below which no sheet is drawn. */
export const SHUT = 0.04;

/** Whoever asks for a sheet or a picture leaves the home for it. */
const placeOf = (part: Partial<View>): Partial<View> =>
  part.sheet !== undefined || part.part !== undefined ? { place: 'sheets' } : {};

type Looking = Event & {
  readonly is: 'select' | 'show' | 'arrange' | 'say' | 'faded' | 'jump' | 'landed';
};
/** What a person looks at, and how. */
function looked(session: Session, event: Looking): Step {
  switch (event.is) {
    case 'select':
      return step(session, { selection: { ...session.selection, ...event.part } });
    case 'show':
      return step(session, { view: { ...session.view, ...placeOf(event.part), ...event.part } });
    case 'arrange':
      return step(session, {
        view: { arrangement: event.arrangement, ...ARRANGEMENTS[event.arrangement].view },
      });
    case 'say':
      return step(session, { notice: event.notice });
    case 'faded':
      return session.notice === event.notice ? step(session, { notice: null }) : step(session);
    case 'jump': {
      const { view } = session;
      const { place } = event;
      const there = view.place === 'sheets' && view.sheet === place.sheet && view.split > SHUT;
      if (there) return step(session, { jump: place });
      const split = Math.max(0.4, view.split);
      return step(session, { jump: place, view: { ...view, place: 'sheets', sheet: place.sheet, split } });
    }
    case 'landed':
      return step(session, { jump: null });
  }
}

/** What a person sets. On a recorded day another minute leaves another day to plan. */
function settings(session: Session, part: Partial<Settings>, at: string): Step {
  const set = step(session, {
    ...part,
    ...(part.variants && { variantsChanged: true }),
    ...(goesToFile(session, part) && { unsaved: true }),
  });
  const moved = part.now !== undefined && part.now !== session.now && isRecorded(session);
  return moved ? after(set, (now) => planSoon(now, { wait: 200, anew: false, madeAt: at })) : set;
}

/** What is done by now goes to the file too. */
const goesToFile = ({ holdPast }: Session, part: Partial<Settings>): boolean =>
  'holdPast' in part || 'variants' in part || ('now' in part && holdPast);

/** The plan that people were given: of each minute the one that stood when it was last read. */
function givenAfter({ given, baseline, planned, now }: Session): Baseline | null {
  const before = given ?? baseline;
  const fresh = baselineOf(planned);
  if (!before || !fresh) return fresh;
  const past = before.activities.filter(({ start }) => start < now);
  const ahead = fresh.activities.filter(({ start }) => start >= now);
  return { ...fresh, from: before.from, activities: [...past, ...ahead] };
}

/** From now on changes count against the plan on screen. */
function noted(session: Session): Step {
  const { planned } = session;
  if (!planned) return step(session);
  const changes = changesOf(baselineOf(planned), planned.plan.activities);
  return step(session, {
    baseline: baselineOf(planned),
    given: givenAfter(session),
    lost: [],
    planned: { ...planned, changes },
  });
}

/** A shortage that is told again, looked into further, takes its own place. */
function withShortage(told: readonly Shortage[], shortage: Shortage): Shortage[] {
  const same = (one: Shortage) => one.bath === shortage.bath && one.firstRound === shortage.firstRound;
  return told.some(same) ? told.map((one) => (same(one) ? shortage : one)) : [...told, shortage];
}

/** Looks into what would clear the shortages of the plan on screen. */
function explain(session: Session): Step {
  const { planned } = session;
  // It would plan the scenario from its start: of a recorded day, what is done would count as unmet.
  if (!planned || isRecorded(session)) return step(session);
  const { scenario, plan } = planned;
  return step(
    session,
    { explained: { of: plan.activities, state: 'asking', replans: 0, shortages: [], message: '' } },
    { do: 'stopExplaining' },
    { do: 'explain', scenario, plan },
  );
}

/** What is learned goes to the question it was asked in, if that still stands. */
function explained(
  session: Session,
  of: Explained['of'],
  learned: (now: Explained) => Partial<Explained>,
): Step {
  const now = session.explained;
  return now?.of === of ? step(session, { explained: { ...now, ...learned(now) } }) : step(session);
}

/** Another plan, another question: what is still being looked into is of no use any more. */
function dropStaleQuestion(session: Session): Step {
  const { explained, planned } = session;
  return explained?.state === 'asking' && planned?.plan.activities !== explained.of
    ? step(session, { explained: null }, { do: 'stopExplaining' })
    : step(session);
}
