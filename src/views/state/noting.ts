import type { NotedLines, RecordPart } from '../../bridge.ts';
import type { Draft } from '../../record/entries.ts';
import { type DayRecord, knownSizes, NO_RECORD, withLines, withParts } from './dayRecord.ts';
import { after, type Step, step } from './events.ts';
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
  const record = withParts(session.record, parts);
  if (record === session.record) return step(session);
  return after(step(session, { record }), (now) => planSoon(now, { wait: 0, anew: false, madeAt }));
}

/** Another file, another record: it is read before anything is said of what was done. */
export const recordOpened = (session: Session): Step => watched({ ...session, record: NO_RECORD });
