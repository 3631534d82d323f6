import type { Activity } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import { Day, type Played, type PlayOptions } from './day.ts';
import type { Chance, Variation } from './variation.ts';

/**
 * Plays a plan once against what a site's days are like: everybody keeps the plan's order at each machine and does the
 * next thing as soon as it may be done, never before its time. Swaps go before tests, tests before the rest. A fill that
 * no longer fits its circuit or the machine's hours is left out. A failed test holds back all that was filled since the
 * last one that passed; the next test follows at once. A machine that goes down loses its fill. Bags that are taken off
 * too late, or filled on a test that no longer held, are held back. Walking is not counted. Supplies are not counted again: no more fills begin than were planned.
 * Nobody plans anew meanwhile: over days what is left out adds up. A duty at a water source waits within its slack for what
 * runs on it.
 */
export const play = (
  problem: Problem,
  activities: readonly Activity[],
  { variation, chance }: { readonly variation: Variation; readonly chance: Chance },
  { delay = () => 0, until = problem.horizon, tell = () => {} }: PlayOptions = {},
): Played => new Day({ problem, activities, variation, chance, delay, until, tell }).play();
