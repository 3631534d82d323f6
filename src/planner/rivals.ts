import { compareScores, type Plan } from '../plan/plan.ts';

const SEEDS = 2 ** 31;
/** Any odd number will do: far from seeds that people choose. */
const APART = 0x5bd1e995;

/**
 * A search leaves much to chance, so two of them run side by side, one on each core. Seed of the second: always the same
 * for a first one, so that the plan does not depend on the computer.
 */
export const rivalSeed = (seed: number): number => (seed + APART) % SEEDS;

/** The better plan; of equals the first. */
export const betterPlan = (first: Plan, second: Plan): Plan =>
  compareScores(second.score, first.score) < 0 ? second : first;
