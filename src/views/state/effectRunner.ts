import type { Bridge } from '../../bridge.ts';
import type { Effect, Event } from './events.ts';
import { askClinical, askWhy, makeRunner as makePlanner } from './planning.ts';
import { makeProver } from './proving.ts';

type Tell = (event: Event) => void;
type Of<Doing extends Effect['do']> = Effect & { readonly do: Doing };

/** What the effects are done with; a test puts its own in the place of threads and dialogs. */
export interface Means {
  readonly planner: Pick<ReturnType<typeof makePlanner>, 'start' | 'stop' | 'endSoon'>;
  readonly prover: Pick<ReturnType<typeof makeProver>, 'start' | 'stop'>;
  readonly why: typeof askWhy;
  readonly clinical: typeof askClinical;
  readonly confirm: (text: string) => boolean;
}
const inApp = (): Means => ({
  planner: makePlanner(),
  prover: makeProver(),
  why: askWhy,
  clinical: askClinical,
  confirm: (text) => window.confirm(text),
});

interface EffectRunner {
  run(effect: Effect): void;
  /** The door to files; nothing of theirs is done before it is there. */
  attach(bridge: Bridge): void;
  /** A sheet says how its open editor is closed with what was typed; returns how to take that back. */
  onSettle(close: () => void): () => void;
  /**
   * What was typed last is in the session: closes open editors and waits for the grid, which tells of edits a turn later.
   * Before anything is saved, or a hurried Enter and Ctrl+S would write the value before.
   */
  settled(): Promise<void>;
}

const turn = () => new Promise<void>((done) => setTimeout(done));
const wordsOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));

/** Does what steps ask for, and tells what came of it: threads, timers, files, questions. */
export function makeEffectRunner(tell: Tell, means: Means = inApp()): EffectRunner {
  const editors = new Set<() => void>();
  let timer: ReturnType<typeof setTimeout> | undefined;
  let endExplaining = () => {};
  let endClinical = () => {};
  let door: Bridge | null = null;
  const settled = async () => {
    for (const close of editors) close();
    await turn();
    await turn();
  };
  const withFiles = async (act: (bridge: Bridge) => Promise<Event>) => {
    if (!door) return;
    tell(await act(door).catch((error: unknown): Event => ({ is: 'fileFailed', why: wordsOf(error) })));
  };
  const does: { readonly [Doing in Effect['do']]: (effect: Of<Doing>) => void } = {
    plan(effect) {
      timer = setTimeout(() => planWith(means.planner, effect, tell), effect.wait);
    },
    stopPlanning() {
      clearTimeout(timer);
      means.planner.stop();
    },
    endSearch: () => means.planner.endSoon(),
    prove: (effect) => proveWith(means.prover, effect, tell),
    stopProving: () => means.prover.stop(),
    explain(effect) {
      endExplaining = explainWith(means.why, effect, tell);
    },
    stopExplaining: () => endExplaining(),
    askClinical({ scenario, plan }) {
      const of = plan.activities;
      endClinical = means.clinical(scenario, plan, {
        way: (way) => tell({ is: 'clinicalWay', of, way }),
        done: () => tell({ is: 'clinicalDone', of }),
        failed: (why) => tell({ is: 'clinicalFailed', of, why }),
      });
    },
    stopClinical: () => endClinical(),
    settle: ({ next }) => void settled().then(() => tell(next)),
    later: ({ wait, next }) => void setTimeout(() => tell(next), wait),
    ask({ text, next }) {
      if (means.confirm(text)) tell(next);
    },
    note: ({ handle, station, drafts }) =>
      void withFiles(async (bridge) =>
        bridge.note(handle, station, drafts).then(
          (answer): Event => ({ is: 'noted', answer, drafts }),
          (error: unknown): Event => ({ is: 'noteFailed', why: wordsOf(error), drafts }),
        ),
      ),
    readRecord: ({ handle, known }) =>
      void withFiles(async (bridge) =>
        bridge.record(handle, known).then(
          (parts): Event => ({ is: 'recordRead', of: handle, parts }),
          (error: unknown): Event => ({ is: 'recordUnread', why: wordsOf(error) }),
        ),
      ),
    open: () => void withFiles(async (bridge) => ({ is: 'fileRead', opened: await bridge.open() })),
    openRecent: ({ handle }) =>
      void withFiles(async (bridge) => ({ is: 'fileRead', opened: await bridge.openRecent(handle) })),
    save: ({ file, text, of, notice }) =>
      void withFiles(async (bridge) => {
        const done = await bridge.save(file.handle, text, file.digest ?? null);
        if ('newer' in done)
          return { is: 'fileNewer', newer: { file, ...done.newer, base: done.base, saving: true } };
        return { is: 'fileWritten', file: { ...file, digest: done.digest }, of, notice };
      }),
    saveAs: ({ name, text, of }) =>
      void withFiles(async (bridge) => ({ is: 'fileWritten', file: await bridge.saveAs(name, text), of })),
  };
  return {
    attach(bridge) {
      door = bridge;
    },
    onSettle(close) {
      editors.add(close);
      return () => {
        editors.delete(close);
      };
    },
    settled,
    run: (effect) => (does[effect.do] as (effect: Effect) => void)(effect),
  };
}

const planWith = (planner: Means['planner'], { run, request }: Of<'plan'>, tell: Tell): void =>
  planner.start(request, {
    progress: (progress) => tell({ is: 'progress', run, progress }),
    done: (plan) => tell({ is: 'planned', run, plan }),
    byHand: (byHand) => tell({ is: 'byHand', run, byHand }),
    failed: (why) => tell({ is: 'planFailed', run, why }),
  });

const proveWith = (prover: Means['prover'], { run, scenario, allowed }: Of<'prove'>, tell: Tell): void =>
  prover.start(scenario, allowed, {
    step: (proven) => tell({ is: 'proven', run, state: 'running', proven }),
    done: (proven) => tell({ is: 'proven', run, state: 'proven', proven }),
    failed: (why) => tell({ is: 'proofFailed', run, why }),
  });

function explainWith(why: typeof askWhy, { scenario, plan }: Of<'explain'>, tell: Tell): () => void {
  const of = plan.activities;
  return why(scenario, plan, {
    progress: (replans) => tell({ is: 'explaining', of, replans }),
    shortage: (shortage) => tell({ is: 'shortage', of, shortage }),
    done: (shortages) => tell({ is: 'explained', of, shortages }),
    failed: (message) => tell({ is: 'explainFailed', of, why: message }),
  });
}
