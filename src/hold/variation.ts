/** How a day differs from its plan, as the site knows it. All of it is a site assumption: no source gives these numbers. */
export interface Variation {
  /** Fills take up to so much longer, share of their time, 0 to 1; each share as likely as another. */
  readonly slower: number;
  /** Swaps come up to so many minutes late, whole minutes, each as likely as another. */
  readonly swapLate: number;
  /** Technicians called away: times a day, and for how many minutes. */
  readonly away: Happening;
  /** A machine down: times a day and machine, and for how many minutes. */
  readonly down: Happening;
  /** Chance that a test of the water fails, 0 to 1. */
  readonly testFails: number;
}
interface Happening {
  readonly perDay: number;
  readonly minutes: number;
}

/** What the app begins with until somebody types what the site knows (site assumption). */
export const ASSUMED: Variation = {
  slower: 0.05,
  swapLate: 5,
  away: { perDay: 1, minutes: 20 },
  down: { perDay: 0.05, minutes: 240 },
  testFails: 0.005,
};

/** In [0, 1). */
export type Chance = () => number;

/**
 * When something begins that happens at any minute alike (a Poisson process: the waits between are exponential).
 * @param horizon min
 * @returns minutes in order
 */
export function beginnings({ perDay }: Happening, horizon: number, chance: Chance): number[] {
  const found: number[] = [];
  if (perDay <= 0) return found;
  for (let t = 0; ; ) {
    t += (-Math.log(1 - chance()) * 1440) / perDay;
    if (t >= horizon) return found;
    found.push(Math.floor(t));
  }
}
