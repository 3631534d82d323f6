/** What the first missing bag of a run lacked, in the order in which `Outcome.cause` counts. */
export const CAUSES = ['opening stock', 'supplies', 'technicians', 'water', 'machines'] as const;
export type Cause = (typeof CAUSES)[number];

/** The same as numbers: what the model writes down millions of times. */
export const OPENING_STOCK = 0;
export const SUPPLIES = 1;
export const TECHNICIANS = 2;
export const WATER = 3;
export const MACHINES = 4;
