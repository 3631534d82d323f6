import type { Compared } from '../../capacity/answers/agreement.ts';
import type { LeverSaving } from '../../capacity/answers/levers.ts';
import type { OrderAnswer } from '../../capacity/answers/orders.ts';
import type { Requirements } from '../../capacity/answers/requirements.ts';
import type { Study } from '../../capacity/answers/study.ts';
import type { HeatMap } from '../../capacity/answers/sweeps.ts';
import type { VariantAnswer } from '../../capacity/answers/variants.ts';
import type { Scenario } from '../../scenario/schema.ts';

/** All that the administrator is told; parts come one after the other. */
export interface Answers {
  readonly study: Study | null;
  readonly needs: Requirements | null;
  readonly heat: HeatMap | null;
  readonly savings: readonly LeverSaving[] | null;
  readonly ordered: OrderAnswer | null;
  /** Kept variants beside the scenario on screen. */
  readonly variants: readonly VariantAnswer[] | null;
  /** Runs that were also planned fully. */
  readonly compared: readonly Compared[] | null;
}
export interface CapacityState extends Answers {
  /** What is being worked out, null: nothing. */
  readonly stage: string | null;
  /** 0..1 of that */
  readonly done: number;
  readonly failure: string | null;
  /** So many runs would take long: a person is asked first. */
  readonly asking: { readonly draws: number; readonly seconds: number } | null;
}

const NO_ANSWERS: Answers = {
  study: null,
  needs: null,
  heat: null,
  savings: null,
  ordered: null,
  variants: null,
  compared: null,
};
export const NOTHING_YET: CapacityState = {
  ...NO_ANSWERS,
  stage: null,
  done: 0,
  failure: null,
  asking: null,
};

export type CapacityEvent =
  | { readonly kind: 'asked'; readonly draws: number; readonly seconds: number }
  | { readonly kind: 'stage'; readonly stage: string }
  | { readonly kind: 'progress'; readonly done: number }
  | { readonly kind: 'answered'; readonly part: Partial<Answers> }
  | { readonly kind: 'ended' }
  | { readonly kind: 'failed'; readonly failure: string }
  | { readonly kind: 'forgotten' };

/** The next state. An answer stays until another takes its place: beginning and cancelling take nothing away. */
export function reduceCapacity(state: CapacityState, event: CapacityEvent): CapacityState {
  switch (event.kind) {
    case 'asked':
      return { ...state, stage: null, done: 0, asking: { draws: event.draws, seconds: event.seconds } };
    case 'stage':
      return { ...state, stage: event.stage, done: 0, failure: null, asking: null };
    case 'progress':
      return { ...state, done: event.done };
    case 'answered':
      // Parts of an older answer would stand beside the new one as if they were its own.
      return { ...state, ...(event.part.study && NO_ANSWERS), ...event.part };
    case 'ended':
      return { ...state, stage: null, done: 0, asking: null };
    case 'failed':
      return { ...state, stage: null, done: 0, failure: event.failure };
    case 'forgotten':
      return NOTHING_YET;
  }
}

/** Whether the answer is of another scenario than the one on screen. */
export const isStale = ({ study }: Pick<Answers, 'study'>, scenario: Scenario | null): boolean =>
  study !== null && study.scenario !== scenario;

/** Runs that take longer are asked about first, s. */
export const LONG_SECONDS = 60;

/** How long so many runs take, as a few of them did, s. */
export const secondsFor = (
  draws: number,
  few: { readonly draws: number; readonly seconds: number },
): number => (few.seconds * draws) / few.draws;
