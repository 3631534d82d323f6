import type { Machine } from '../../scenario/problem/types.ts';

/**
 * What a plan to the minute can use of what is there, fitted to full plans (`agreement.ts`).
 * `machines`, `water`: shares of machine minutes and of flow minutes when nothing else is in the way.
 * `crowd`: technicians' minutes lost each minute, if full bags could not wait at all (`crowdOf`): swaps must fall into
 * the windows of fills, and a technician at work on one machine cannot come to another; others cover.
 * `queue`: machine minutes lost to waiting for a technician, as a share of what they were if nobody planned ahead. In
 *   one full week letting swaps and tests give way (`giveWay.ts`) left about 440 of 720.
 * `changes`: bath changes a round for each bath beyond the first.
 */
export const USABLE = { machines: 0.98, water: 0.96, crowd: 0.65, queue: 0.6, changes: 1 };

/**
 * Technicians' minutes lost each minute.
 * @param block length of what a technician is at, at a minute drawn at random, min
 * @param slack how long full bags may wait on a machine, min
 */
export const crowdOf = (block: number, slack: number): number =>
  block > 0 ? (USABLE.crowd * block) / (block + slack) : 0;

/** How long full bags may wait on a machine, on average over the machines, min. */
export const slackOf = (machines: readonly Machine[]): number =>
  machines.reduce((sum, { shortest, longest }) => sum + longest - shortest, 0) / Math.max(1, machines.length);

/**
 * How long a full machine waits for a technician if nobody plans ahead, min: all technicians are busy when a fill ends,
 * and what is left of the work that the first to be free is at.
 * @param block length of what a technician is at, at a minute drawn at random, min
 * @param busy share of their time in which technicians are at work, 0..1
 * @param people technicians, on average over the round
 */
export function waitFor(block: number, busy: number, people: number): number {
  let wait = block / 2;
  for (let rest = people; rest > 0; rest -= 1) wait *= rest >= 1 ? busy : 1 - rest * (1 - busy);
  return wait;
}
