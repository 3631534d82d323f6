/** The one wording of what must be known before any use. Wherever a plan or its numbers stand, one of the two stands. */
const SHORT = 'Dialysate only. Not sterile. Never infuse. Do not hang until released.';
export const CAUTION = {
  short: SHORT,
  long: `${SHORT} Water, microbiology, conductivity, pH, release and use follow the site's procedure, local codes and licensed practice.`,
} as const;

/** Beside the long caution: what a plan never does. */
export const NO_PRESCRIBING = 'The plan takes each prescription as given. It never decides one.';

/** Beside the long caution, wherever a forecast's answers stand. */
export const FORECAST_CAUTION =
  'A forecast is only as good as its assumptions. It never decides a prescription.';

/** Beside each list of who goes short: the tool shows ways of sharing and their cost, and chooses none. */
export const SHORT_CAUTION =
  'These are ways to share too few bags. The tool chooses none and nobody. Those responsible decide, and write down why.';
