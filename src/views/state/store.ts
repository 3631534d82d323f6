import { create } from 'zustand';
import type { Bridge, FileRef, KeptDraft } from '../../bridge.ts';
import { knowsZone } from '../../calendar/clock.ts';
import type { Recipe } from '../../grid/history.ts';
import { newScenario } from '../../grid/newScenario.ts';
import type { Place } from '../../grid/where.ts';
import type { SlackOffer } from '../../hold/offers.ts';
import type { Draft } from '../../record/entries.ts';
import type { Question } from '../../reports/trace.ts';
import type { Side } from '../../scenario/merge.ts';
import type { Scenario } from '../../scenario/schema.ts';
import type { Arrangement, View } from './arrangements.ts';
import { expectKeys } from './earlyKeys.ts';
import { makeEffectRunner } from './effectRunner.ts';
import type { Act, Answered, Event, FileWish, Settings } from './events.ts';
import { written } from './files.ts';
import { localTime } from './planned.ts';
import { reduce } from './reduce.ts';
import { type Notice, opening, type Selection, type Session } from './session.ts';

export { useShallow } from 'zustand/react/shallow';
export type { Explained, Planning, Selection, Session, Session as State, Theme, Variant } from './session.ts';

interface Actions {
  /**
   * One act of a person: one undo step. Demand follows at once, the plan shortly after. One that changes more than one
   * prescription, or writes over rows, asks first: `review` then holds it.
   */
  edit(label: string, recipe: Recipe, more?: Omit<Act, 'label' | 'recipe'>): void;
  reviewed(answer: Answered): void;
  undo(): void;
  redo(): void;
  /** Another scenario takes the place of this one; the history starts anew. */
  load(scenario: Scenario, file: FileRef | null): void;
  /** Plan now, from the plan on screen; `anew`: search from the beginning, and keep what is shown unless that is better. */
  replan(anew: boolean): void;
  /** A plan with slack goes on screen, and planning keeps its slack; null: planning keeps none. */
  takeSlack(offer: Pick<SlackOffer, 'slack' | 'activities'> | null): void;
  /** A person has taken note of what changed: from now on changes count against the plan on screen. */
  noteChanges(): void;
  /** Looks into what would clear the shortages of the plan on screen; goes on while other views are looked at. */
  explain(): void;
  stopExplaining(): void;
  /** Looks for the clinical ways out of the shortages of the plan on screen. */
  askClinical(): void;
  stopClinical(): void;
  /** Keep the best plan so far. */
  cancelPlanning(): void;
  /** The better plan that waits goes on screen, or is dropped. */
  answerWaiting(take: boolean): void;
  /** The plan on screen goes to paper or into a file. */
  markUsed(): void;
  select(part: Partial<Selection>): void;
  show(part: Partial<View>): void;
  arrange(arrangement: Arrangement): void;
  set(part: Partial<Settings>): void;
}

/** The one store: what `reduce` makes of events, and the runner that does what it asks for. */
export const useStore = create<Session & Actions>()(() => {
  const send = (event: Event) => () => dispatch(event);
  return {
    ...opening(),
    edit: (label, recipe, more) => dispatch({ is: 'edit', act: { label, recipe, ...more } }),
    reviewed: (answer) => dispatch({ is: 'reviewed', answer }),
    undo: send({ is: 'undo' }),
    redo: send({ is: 'redo' }),
    load: (scenario, file) => dispatch({ is: 'load', scenario, file }),
    replan: (anew) => dispatch({ is: 'replan', anew }),
    takeSlack: (offer) => dispatch({ is: 'slackTaken', offer }),
    noteChanges: send({ is: 'noteChanges' }),
    explain: send({ is: 'explain' }),
    stopExplaining: send({ is: 'stopExplaining' }),
    askClinical: send({ is: 'askClinical' }),
    stopClinical: send({ is: 'stopClinical' }),
    cancelPlanning: send({ is: 'cancelPlanning' }),
    answerWaiting: (take) => dispatch({ is: 'waitingAnswered', take }),
    markUsed: send({ is: 'used' }),
    select: (part) => dispatch({ is: 'select', part }),
    show: (part) => dispatch({ is: 'show', part }),
    arrange: (arrangement) => dispatch({ is: 'arrange', arrangement }),
    set: (part) => dispatch({ is: 'set', part }),
  };
});

const runner = makeEffectRunner(dispatch);

/** Everything that happens goes through here. */
function dispatch(event: Event): void {
  const before = useStore.getState();
  const { session, effects } = reduce(before, event, localTime(new Date()));
  useStore.setState(session);
  for (const effect of effects) runner.run(effect);
}

/** How a sheet closes its open editor, see `EffectRunner`. */
export const { onSettle } = runner;

/** Nothing typed yet, from today 07:00 where this computer is. */
function blank(): Scenario {
  const { timeZone } = Intl.DateTimeFormat().resolvedOptions();
  return newScenario(`${localTime(new Date()).slice(0, 10)}T07:00`, knowsZone(timeZone) ? timeZone : 'UTC');
}

/** ms between two looks at the file, for what others save */
const LOOK_MS = 5_000;
/** ms after the last keystroke until the edits are flushed to the disk */
const KEEP_MS = 400;

/** Asks the host now and then whether somebody else has saved the file that is open. Returns how to stop. */
export function watchFile(bridge: Bridge): () => void {
  let busy = false;
  const look = async () => {
    const { file, clash } = useStore.getState();
    if (busy || clash || !file?.digest || file.readOnly || file.handle === '') return;
    busy = true;
    const newer = await bridge.look(file.handle, file.digest).catch(() => null); // a host that is gone is told elsewhere
    busy = false;
    if (newer && useStore.getState().file?.digest === file.digest)
      dispatch({ is: 'fileNewer', newer: { file, ...newer, saving: false } });
  };
  const timer = setInterval(() => void look(), LOOK_MS);
  return () => clearInterval(timer);
}

/** Keeps edits that no file holds yet, one flush after the other, the latest always. Returns how to stop. */
export function keepDrafts(bridge: Bridge): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let last: Promise<unknown> = Promise.resolve();
  let kept = false;
  const keep = () => {
    const session = useStore.getState();
    const { file, unsaved } = session;
    if (!unsaved && !kept) return;
    kept = unsaved;
    const draft = {
      handle: file && !file.readOnly && file.handle !== '' ? file.handle : null,
      name: file?.name ?? session.scenario.title,
      text: written(session),
      base: file?.digest ?? null,
      at: new Date().toISOString(),
    };
    last = last.then(() => bridge.keepDraft(unsaved ? draft : null)).catch(() => undefined);
  };
  const stop = useStore.subscribe((now, before) => {
    if (now.scenario === before.scenario && now.unsaved === before.unsaved) return;
    clearTimeout(timer);
    timer = setTimeout(keep, now.unsaved ? KEEP_MS : 0);
  });
  return () => {
    clearTimeout(timer);
    stop();
  };
}

/** Answers about what somebody else has saved; null: not now. */
export const answerClash = (choices: ReadonlyMap<string, Side> | null): void =>
  dispatch({ is: 'clashAnswered', choices });
/** Edits of a page that died are taken up. */
export const takeDraft = (draft: KeptDraft): void => dispatch({ is: 'draftTaken', draft });

/** What the file commands do. Whatever must be said of it comes as the session's notice. */
export function fileCommands(bridge: Bridge) {
  runner.attach(bridge);
  const wish = (wished: FileWish) => dispatch({ is: 'file', wish: wished, stage: 'asked' });
  const guard = async (act: () => Promise<Event>): Promise<void> => {
    const failed = (error: unknown): Event => ({
      is: 'fileFailed',
      why: error instanceof Error ? error.message : String(error),
    });
    dispatch(await act().catch(failed));
  };
  return {
    start: () => guard(async () => ({ is: 'fileRead', opened: await bridge.initial() })),
    create: () => wish({ act: 'create', blank: blank() }),
    open: () => wish({ act: 'open' }),
    openRecent: (handle: string) => wish({ act: 'openRecent', handle }),
    save: () => wish({ act: 'save' }),
    saveAs: () => wish({ act: 'saveAs' }),
    /** A file that goes out beside the scenario. */
    exportFile: (making: Promise<{ readonly name: string; readonly bytes: Uint8Array }>) =>
      guard(async () => {
        const { name, bytes } = await making;
        await bridge.exportFile(name, bytes);
        return { is: 'say', notice: null };
      }),
  };
}

/** Says something above the sheets, e.g. why a file cannot be opened. */
export const say = (notice: Notice | null): void => dispatch({ is: 'say', notice });

/** The trace of a number opens in the panel at the side. */
export const ask = (question: Question): void => {
  useStore.getState().select({ question });
  useStore.getState().show({ side: true });
};

/** Shows a cell: its sheet comes up, the cell takes the focus. */
export function jumpTo(place: Place): void {
  expectKeys();
  dispatch({ is: 'jump', place });
}
/** The cell that was jumped to has been shown. */
export const landed = (): void => dispatch({ is: 'landed' });

/** A person notes what was done; it counts once it is on the disk. */
export const note = (drafts: readonly Draft[]): void => dispatch({ is: 'note', drafts });
/** Looks what other stations have noted. */
export const watchRecord = (): void => dispatch({ is: 'watch' });
/** Next week from this one. */
export const continueFromNow = (): void => dispatch({ is: 'continue' });
