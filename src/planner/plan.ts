/**
 * The door to making plans. Told from inside out: a schedule to the minute (`schedule/`), the search for a good one
 * (`search/`), a plan changed as little as may be (`repair/`), why it is as it is (`explain/`); PLANNER.md says how they think.
 */
import { planOn as planOnRules } from './repair/planOn.ts';
import { replan as replanByRules } from './repair/replan.ts';
import { planAnew } from './search/planAnew.ts';
import { withSlack } from './slack.ts';

export type { AgainHow, Relaxed } from './explain/again.ts';
export { type ClinicalWay, clinicalWays, type DeliveryInTime } from './explain/clinical.ts';
export { explainNeeds } from './explain/explain.ts';
export { type ActivityReason, explainActivity } from './explain/explainActivity.ts';
export { atMost, relaxedBy } from './explain/probes.ts';
export type { Relief, Shortage } from './explain/told.ts';
export { lostRemarks, settle } from './repair/lost.ts';
export { wantsLonger } from './repair/wantsLonger.ts';
export { planByHand } from './schedule/byHand.ts';
export { DutyFault, dutyFaultOf } from './schedule/placeDuties.ts';
export { outOfReach } from './search/outOfReach.ts';
export { type Course, contest, courseFor, doneOfAll, type Own } from './search/rivals.ts';
export { keepsSlack } from './slack.ts';

/** All three keep the slack that a problem asks for (`slack.ts`). */
export const plan = withSlack(planAnew);
export const replan = withSlack(replanByRules);
export const planOn = withSlack(planOnRules);
