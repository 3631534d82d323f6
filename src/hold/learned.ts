import type { State } from '../record/state.ts';
import type { Problem } from '../scenario/problem/types.ts';
import type { Variation } from './variation.ts';

/** Fewer cases than this teach nothing: what is typed stays (site assumption). */
export const ENOUGH = 30;

/** What a record shows of how days differ from their plan. */
export interface Learned {
  /** Bags off after the computed time of their fill: cases, and min later on average. */
  readonly off: { readonly cases: number; readonly minutes: number };
  readonly tests: { readonly cases: number; readonly failed: number };
  /** Outages of machines that are over: cases, times a day and machine, min on average. */
  readonly down: { readonly cases: number; readonly perDay: number; readonly minutes: number };
}

const mean = (values: readonly number[]): number =>
  values.length === 0 ? 0 : values.reduce((sum, value) => sum + value, 0) / values.length;

/**
 * What the record shows by now: how much later than computed bags came off (a slow fill and a late swap look alike, so they
 * count together), how many tests failed, how often and how long machines were down.
 */
export function learnedFrom(
  { machines, now }: Pick<Problem, 'machines'> & { now: number },
  state: State,
): Learned {
  const shortest = new Map(machines.map((machine) => [machine.id, machine.shortest]));
  // A fill whose end nobody noted, or that was stopped, tells nothing of when bags come off.
  const off = new Set(state.folded.facts.flatMap(({ entry }) => (entry.kind === 'off' ? entry.id : [])));
  const late = state.lots.flatMap(({ fill }) => {
    const least = shortest.get(fill?.machine ?? '');
    return fill?.end == null || least === undefined || !off.has(fill.off ?? '')
      ? []
      : Math.max(0, fill.end - fill.start - least);
  });
  const outages = state.machines
    .flatMap((one) => one.outages)
    .filter(({ from, until }) => from < now && until !== null && until <= now);
  const days = (now * machines.length) / 1440;
  return {
    off: { cases: late.length, minutes: mean(late) },
    tests: {
      cases: state.tests.length,
      failed: state.tests.filter(({ passed }) => !passed).length,
    },
    down: {
      cases: outages.length,
      perDay: days > 0 ? outages.length / days : 0,
      minutes: mean(outages.map(({ from, until }) => until! - from)),
    },
  };
}

/**
 * The variation with what the record has shown often enough in the place of what is typed. A delay that is as likely as any
 * other up to a most is half of that on average, so the most is twice the average.
 */
export function withLearned(typed: Variation, { off, tests, down }: Learned): Variation {
  return {
    ...typed,
    ...(off.cases >= ENOUGH && { slower: 0, swapLate: Math.round(2 * off.minutes) }),
    ...(tests.cases >= ENOUGH && { testFails: tests.failed / tests.cases }),
    ...(down.cases >= ENOUGH && { down: { perDay: down.perDay, minutes: Math.round(down.minutes) } }),
  };
}
