/** The door to what a planner is told and tells, and to what no plan can do better than (`bounds/`). Making plans: `plan.ts`. */
export { boundsOf, leastUnmet } from './bounds/bounds.ts';
export { loadSolver, locateHighs } from './bounds/highs.ts';
export { LinearModel } from './bounds/model.ts';
export { cutShort, type Proven, provenInSteps } from './bounds/proof.ts';
export { plainBound } from './bounds/roughBound.ts';
export type { Planner, PlanOptions, Progress } from './options.ts';
