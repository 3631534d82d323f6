import type { FileRef, OpenedFile } from '../../bridge.ts';
import { NO_HISTORY } from '../../grid/history.ts';
import { renamed } from '../../grid/renamed.ts';
import { repairable } from '../../scenario/faults/repairable.ts';
import { type PlanInUse, planInUse, withPlanInUse } from '../../scenario/inUse.ts';
import { faultLine, readScenario, writeScenario } from '../../scenario/read.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { variantsOf, withVariants } from '../../scenario/variants.ts';
import { fileStem } from '../../words/times.ts';
import { NO_RECORD } from './dayRecord.ts';
import { after, type Event, type FileWish, type Step, step } from './events.ts';
import { judge, parted, toPutRight } from './judge.ts';
import { sameClock } from './planned.ts';
import { planSoon } from './planRun.ts';
import { halt } from './proofRun.ts';
import { isRecorded, NOTHING, type Notice, type Session } from './session.ts';

/** Another scenario takes the place of this one; the history starts anew. */
export function load(session: Session, read: Scenario, file: FileRef | null, madeAt: string): Step {
  const kept = planInUse(read);
  // From here on it is the plan on screen; it goes back to the file as that.
  const planless = kept && kept !== 'broken' ? withPlanInUse(read, null) : read;
  // They lie beside it while it is worked on, and go back to the file with it.
  const variants = variantsOf(planless).map((one) => ({ ...one, plan: null }));
  const scenario = variants.length > 0 ? withVariants(planless, []) : planless;
  const loaded = after(halt(session), (halted) =>
    step(halted, {
      scenario,
      ...judge(scenario),
      file,
      unsaved: false,
      clean: scenario,
      history: NO_HISTORY,
      answers: new Map(),
      planned: null,
      baseline: null,
      given: null,
      suspect: '',
      toPrint: '',
      searched: false,
      lost: [],
      byHand: null,
      selection: NOTHING,
      review: null,
      now: 0,
      holdPast: false,
      variants,
      variantsChanged: false,
      alike: new Map(),
      pending: kept === 'broken' ? null : kept,
      clash: null,
      // What was done there says nothing of this one: no plan may follow from it.
      record: file && file.handle === session.file?.handle ? session.record : NO_RECORD,
    }),
  );
  return after(loaded, (now) => planSoon(now, { wait: 0, anew: true, madeAt }));
}

/** The plan that people work by, for the file: where the past is held, and of a recorded day. */
export function inUse(session: Session): PlanInUse | null {
  const { scenario, planned, now, holdPast, pending } = session;
  if (pending) return pending;
  if (!(holdPast || isRecorded(session)) || !planned || !sameClock(planned.scenario, scenario)) return null;
  // While another is being made, or errors keep it from being made, it is the one that people have.
  const activities = renamed(planned.scenario, scenario, planned.plan.activities);
  return { start: scenario.start, now: planned.problem.clock.localOf(now), activities };
}

/** What goes to the file: the scenario, and the plan that people work by. */
export function written(session: Session): string {
  const plan = inUse(session);
  // One that cannot be read stays as it was.
  const { scenario, variants } = session;
  const whole = variants.length > 0 ? withVariants(scenario, variants) : scenario;
  return writeScenario(plan ? withPlanInUse(whole, plan) : whole);
}

/** A name for a file that goes out, from the scenario's title. */
export const nameFor = ({ scenario }: Pick<Session, 'scenario'>, ending: string): string =>
  `${fileStem(scenario.title)}${ending}`;

/** A name as a file bears it: with the ending of the one that was offered, without which no list would show it. */
export const withEnding = (typed: string, offered: string): string => {
  const ending = /\.[a-z]+$/i.exec(offered)?.[0] ?? '';
  const name = typed.trim();
  return name === '' || name.toLowerCase().endsWith(ending.toLowerCase()) ? name : `${name}${ending}`;
};

/** A file comes in. One with faults is opened to be put right where the sheets can show it; else it is refused, and said why. */
export function fileRead(session: Session, { text, ...file }: OpenedFile, madeAt: string): Step {
  const told = (notice: Notice | null) => (now: Session) => step(now, { notice });
  const reading = readScenario(text);
  if (reading.ok) {
    const details = [...reading.warnings.filter(({ path }) => path[0] === 'inUse'), ...reading.taken].map(
      (fault) => faultLine(file.name, fault),
    );
    const notice: Notice | null =
      details[0] === undefined ? null : { tone: 'warn', text: details[0], details };
    return after(load(session, reading.scenario, file, madeAt), told(notice));
  }
  const found = repairable(text);
  if (found)
    return after(load(session, found.scenario, file, madeAt), (now) => {
      // The very faults that the sheets mark, so that both count the same.
      const { errors, warnings } = parted(now.faults);
      return step(now, {
        notice: {
          tone: 'warn',
          text: `${file.name} has ${toPutRight(errors.length, warnings.length)}`,
          details: [...errors, ...found.taken].map((fault) => faultLine(file.name, fault)),
        },
      });
    });
  const details = parted(reading.faults).errors.map((fault) => faultLine(file.name, fault));
  return told({ tone: 'bad', text: `${file.name} was not opened: ${details[0]}`, details })(session);
}

const losesEdits = ({ act }: FileWish): boolean => act !== 'save' && act !== 'saveAs';
/** What a person is asked before another file takes the place of this one; null: nothing would be lost. */
const question = ({ unsaved }: Session): string | null =>
  unsaved ? 'Leave without saving your edits?' : null;

/** A command on files: what was being typed comes in first, then it is asked whether edits may go, then it is done. */
export function fileWished(session: Session, event: Event & { readonly is: 'file' }, madeAt: string): Step {
  const { wish, stage } = event;
  if (stage === 'asked') return step(session, {}, { do: 'settle', next: { ...event, stage: 'settled' } });
  const text = stage === 'settled' && losesEdits(wish) ? question(session) : null;
  if (text !== null) return step(session, {}, { do: 'ask', text, next: { ...event, stage: 'agreed' } });
  if (wish.act === 'create')
    return after(load(session, wish.blank, null, madeAt), (now) => step(now, { notice: null }));
  if (wish.act === 'open') return step(session, {}, { do: 'open' });
  if (wish.act === 'openRecent') return step(session, {}, { do: 'openRecent', handle: wish.handle });
  const { file, scenario: of } = session;
  const out = { text: written(session), of };
  return wish.act === 'save' && file && !file.readOnly
    ? step(session, {}, { do: 'save', file, ...out })
    : step(session, {}, { do: 'saveAs', name: nameFor(session, '.json'), ...out });
}

/** The file holds the scenario, unless that was edited while it was written. */
export const saved = (session: Session, file: FileRef): Step =>
  step(session, { clean: session.scenario, file, unsaved: false, variantsChanged: false });

export function fileWritten(
  session: Session,
  { file, of, notice = null }: Event & { readonly is: 'fileWritten' },
): Step {
  const told = step(session, { notice });
  if (file && session.scenario === of) return after(told, (now) => saved(now, file));
  // Edited while it was written: the next save begins from what was.
  return after(told, (now) => step(now, file && file.handle === now.file?.handle ? { file } : {}));
}
