import type { Activity, Plan } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import { boundHolds, needsClaimed, scoreClaimed } from './claims.ts';
import { factsOf } from './facts.ts';
import { recount } from './recount.ts';
import { bathAllowed } from './rules/bathAllowed.ts';
import { bathLoaded } from './rules/bathLoaded.ts';
import { beginsFromNow } from './rules/beginsFromNow.ts';
import { circuitInPlace } from './rules/circuitInPlace.ts';
import { circuitLife } from './rules/circuitLife.ts';
import { dutyDoneOnce } from './rules/dutyDoneOnce.ts';
import { dutyInTime } from './rules/dutyInTime.ts';
import { dutyKnown } from './rules/dutyKnown.ts';
import { dutyWaterFree } from './rules/dutyWaterFree.ts';
import { fillHasSwap } from './rules/fillHasSwap.ts';
import { fillStartStaffed } from './rules/fillStartStaffed.ts';
import { fillWindow } from './rules/fillWindow.ts';
import { knownBath } from './rules/knownBath.ts';
import { knownKind } from './rules/knownKind.ts';
import { knownPlace } from './rules/knownPlace.ts';
import { machineNoOverlap } from './rules/machineNoOverlap.ts';
import { rightLength } from './rules/rightLength.ts';
import { suppliesEnough } from './rules/suppliesEnough.ts';
import { swapHasFill } from './rules/swapHasFill.ts';
import { techniciansEnough } from './rules/techniciansEnough.ts';
import { waterCapacity } from './rules/waterCapacity.ts';
import { waterTested } from './rules/waterTested.ts';
import { wholeMinutes } from './rules/wholeMinutes.ts';
import { withinHorizon } from './rules/withinHorizon.ts';
import { withinWindow } from './rules/withinWindow.ts';
import type { AuditOptions, Checked, Rule, Verdict, Violation } from './verdict.ts';

/** All that makes a plan valid: the table of contents of the plan check. Ids are also the names of the tests. */
export const RULES: readonly Rule[] = [
  knownKind,
  wholeMinutes,
  knownPlace,
  knownBath,
  beginsFromNow,
  withinHorizon,
  withinWindow,
  machineNoOverlap,
  rightLength,
  fillWindow,
  fillStartStaffed,
  fillHasSwap,
  swapHasFill,
  circuitInPlace,
  bathLoaded,
  bathAllowed,
  circuitLife,
  techniciansEnough,
  waterCapacity,
  waterTested,
  suppliesEnough,
  dutyKnown,
  dutyDoneOnce,
  dutyInTime,
  dutyWaterFree,
];

/**
 * Judges any plan, however made, by the rules of a valid plan (MEANING.md).
 * Times in minutes from the scenario's start. Never throws on a bad plan: what cannot be read is a violation.
 */
export function audit(
  problem: Problem,
  activities: readonly Activity[],
  { now = 0, underWay }: AuditOptions = {},
): Verdict {
  const facts = factsOf(problem, activities, underWay);
  const findings = RULES.map(({ judge }) => judge(facts));
  const isHistory = historic(problem, activities, now);
  const all = findings.flatMap((finding) => finding.violations);
  const violations = all.filter((violation) => !isHistory(violation));
  const checked = RULES.map(
    ({ id, says, counts }, index): Checked => ({ rule: id, says, counts, count: findings[index]!.count }),
  );
  const history = all.filter(isHistory);
  return { ok: violations.length === 0, violations, history, checked, ...recount(facts) };
}

/** Whether what was begun before `now` breaks a rule in the same way alone. */
function historic(
  problem: Problem,
  activities: readonly Activity[],
  now: number,
): (violation: Violation) => boolean {
  if (now <= 0) return () => false;
  const begun = factsOf(
    problem,
    activities.filter(({ start }) => start < now),
  );
  // A swap and a duty to come are not among these, but have to come.
  const rules = RULES.filter(({ id }) => id !== 'fill-has-swap' && id !== 'duty-done-once');
  const alone = new Set(rules.flatMap(({ judge }) => judge(begun).violations).map(signOf));
  return (violation) => alone.has(signOf(violation));
}

const signOf = ({ rule, place, start, message }: Violation): string =>
  JSON.stringify([rule, place, start, message]);

/** `audit`, and whether the numbers that the plan claims are true. */
export function auditPlan(
  problem: Problem,
  plan: Pick<Plan, 'activities' | 'needs' | 'score' | 'bound'>,
  options: AuditOptions = {},
): Verdict {
  const verdict = audit(problem, plan.activities, options);
  const facts = factsOf(problem, plan.activities);
  const claims = [
    { rule: 'needs-claimed', counts: 'needs', says: "The plan's needs are those counted anew." },
    { rule: 'score-claimed', counts: 'numbers', says: "The plan's score is the one counted anew." },
    { rule: 'bound-holds', counts: 'numbers', says: 'No plan beats what is proven to be the limit.' },
  ];
  const findings = [
    needsClaimed(facts, plan.needs, verdict.needs),
    scoreClaimed(facts, plan.score, verdict.score),
    boundHolds(facts, plan.bound, verdict.score),
  ];
  const violations = [...verdict.violations, ...findings.flatMap((finding) => finding.violations)];
  return {
    ...verdict,
    ok: violations.length === 0,
    violations,
    checked: [
      ...verdict.checked,
      ...claims.map((claim, index): Checked => ({ ...claim, count: findings[index]!.count })),
    ],
  };
}
