import type { NotedLines, RecordPart } from '../../bridge.ts';
import { carriedOver } from '../../record/carryOver.ts';
import { continued } from '../../record/continue.ts';
import type { Draft } from '../../record/entries.ts';
import { entryTime } from '../../record/minuteOf.ts';
import { withPlanInUse } from '../../scenario/inUse.ts';
import { type DayRecord, knownSizes, NO_RECORD, startOf, withLines, withParts } from './dayRecord.ts';
import { after, type Step, step } from './events.ts';
import { inUse, load } from './files.ts';
import { planSoon } from './planRun.ts';
import type { Session } from './session.ts';

const UNSAVED = 'Save the scenario first: its record lies beside it.';
const NAMELESS = 'Give this computer a name first, e.g. icu-desk: its entries bear it.';

/** A person notes what was done. Nothing counts before it is on the disk. */
export function noteWished(session: Session, drafts: readonly Draft[]): Step {
  const { file, station, record } = session;
  const failure = file ? (station === '' ? NAMELESS : null) : UNSAVED;
  if (failure || !file) return step(session, { record: { ...record, failure, failed: drafts } });
  return step(
    session,
    { record: { ...record, noting: [...record.noting, ...drafts], failure: null, failed: [] } },
    { do: 'note', handle: file.handle, station, drafts },
  );
}

const done = (record: DayRecord, drafts: readonly Draft[]): DayRecord => ({
  ...record,
  noting: record.noting.filter((draft) => !drafts.includes(draft)),
});

/** Entries are on the disk: the plan follows from what was done. */
export function notedOnDisk(
  session: Session,
  { answer, drafts }: { readonly answer: NotedLines; readonly drafts: readonly Draft[] },
  madeAt: string,
): Step {
  const record = withLines(done(session.record, drafts), answer);
  return after(step(session, { record }), (now) => planSoon(now, { wait: 0, anew: false, madeAt }));
}

/** None of them was noted: they are kept here, to be noted again, and it is said why. */
export function noteFailed(session: Session, why: string, drafts: readonly Draft[]): Step {
  const record = done(session.record, drafts);
  return step(session, { record: { ...record, failure: why, failed: [...record.failed, ...drafts] } });
}

/** Asks what other stations have noted. */
export const watched = (session: Session): Step =>
  session.file && session.file.handle !== ''
    ? step(session, {}, { do: 'readRecord', handle: session.file.handle, known: knownSizes(session.record) })
    : step(session);

/** What other stations noted comes in; the plan follows. */
export function recordRead(
  session: Session,
  { of, parts }: { readonly of: string; readonly parts: readonly RecordPart[] },
  madeAt: string,
): Step {
  if (session.file?.handle !== of) return step(session);
  const grown = withParts(session.record, parts);
  const record =
    grown.noted.length > 0 && grown.failure === CARRY ? { ...grown, failure: null, failed: [] } : grown;
  if (record === session.record) return record.noted.length > 0 ? step(session) : carriedFrom(session);
  return after(step(session, { record }), (now) => planSoon(now, { wait: 0, anew: false, madeAt }));
}

const CARRY =
  'This file says what was done, but no record lies beside it. Open the file that has the record. Or note it again: otherwise the plan forgets it with the next entry.';

/** What an older file says was done waits to be noted in the record, where it counts from then on. */
function carriedFrom(session: Session): Step {
  const { record, by } = session;
  const plan = inUse(session);
  if (!plan || record.failure !== null) return step(session);
  const { entries } = carriedOver(withPlanInUse(session.scenario, plan), by === '' ? 'older file' : by);
  return entries.length === 0
    ? step(session)
    : step(session, { record: { ...record, failure: CARRY, failed: entries } });
}

/** Another file, another record: it is read before anything is said of what was done. */
export const recordOpened = (session: Session): Step => watched({ ...session, record: NO_RECORD });

/** Saved as another file: the record stays with the file that it lies beside, and none of it counts for the new one. */
export function recordLeft(session: Session, before: Session): Step {
  const [from, to] = [before.file, session.file];
  if (!from || !to || from.handle === to.handle || before.record.noted.length === 0) return step(session);
  const text = `What was noted stays with ${from.name}. Open ${from.name} to go on noting: ${to.name} has no record.`;
  const told = from.name === to.name ? {} : { notice: { tone: 'warn', text } as const };
  return after(recordOpened(session), (now) => step(now, told));
}

const TWICE =
  'This hour comes twice tonight, and a new scenario cannot start in the second one. Continue after it.';
const CONTINUED =
  'Save this new scenario first, then note what is carried over. Until then its record is empty.';

/** A new scenario from now on, with what the record leaves; what is on hold, out or under way waits to be noted in its own record. */
export function continueFrom(session: Session, madeAt: string): Step {
  const start = session.problem ? startOf(session) : null;
  if (!start) return step(session);
  const { clock, now } = start.problem;
  // A scenario's start is a local time: it would be read as the first pass, and all an hour too old.
  if (entryTime(clock, now).again) return step(session, { notice: { tone: 'warn', text: TWICE } });
  const { scenario, entries } = continued(session.scenario, start.state, session.by);
  return after(load(session, scenario, null, madeAt), (now) =>
    step(now, {
      unsaved: true,
      record: { ...NO_RECORD, ...(entries.length > 0 && { failure: CONTINUED, failed: entries }) },
    }),
  );
}
