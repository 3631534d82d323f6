import { enablePatches, produceWithPatches } from 'immer';
import type { Scenario } from '../scenario/schema.ts';

enablePatches();

/** What a person undoes in one go: a typed cell, a paste of a thousand cells, an import. */
export interface Step {
  /** As the undo button says it, e.g. 'weight of bed-04'. */
  readonly label: string;
  /** Whole scenarios: they share what did not change, and whoever goes back finds what was computed from the very same one. */
  readonly before: Scenario;
  readonly after: Scenario;
}
export interface History {
  readonly past: readonly Step[];
  readonly future: readonly Step[];
}
export interface Edited {
  readonly scenario: Scenario;
  readonly history: History;
}
/** Changes the draft in place. */
export type Recipe = (draft: Scenario) => void;

export const DEPTH = 200;
export const NO_HISTORY: History = { past: [], future: [] };

/** The scenario after one act, and the history that can take it back. An act that changes nothing leaves no step. */
export function commit({ scenario, history }: Edited, label: string, recipe: Recipe): Edited {
  const [next, patches] = produceWithPatches(scenario, (draft: Scenario) => {
    recipe(draft);
  });
  if (patches.length === 0) return { scenario, history };
  return {
    scenario: next,
    history: { past: [...history.past, { label, before: scenario, after: next }].slice(-DEPTH), future: [] },
  };
}

/** The scenario before the last act; unchanged when there is none. */
export function undo({ scenario, history }: Edited): Edited {
  const step = history.past.at(-1);
  if (!step) return { scenario, history };
  return {
    scenario: step.before,
    history: { past: history.past.slice(0, -1), future: [step, ...history.future] },
  };
}

/** The scenario with the last undone act done again; unchanged when there is none. */
export function redo({ scenario, history }: Edited): Edited {
  const [step, ...future] = history.future;
  if (!step) return { scenario, history };
  return {
    scenario: step.after,
    history: { past: [...history.past, step], future },
  };
}
