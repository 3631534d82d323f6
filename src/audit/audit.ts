import type { Activity, Plan } from '../plan/plan.ts';
import type { Problem } from '../scenario/problem/types.ts';
import { boundHolds, needsClaimed, scoreClaimed } from './claims.ts';
import { factsOf } from './facts.ts';
import { recount } from './recount.ts';
import { bathLoaded, circuitInPlace, circuitLife } from './rules/circuits.ts';
import { bathAllowed, knownBath, knownKind, knownPlace } from './rules/places.ts';
import { suppliesEnough } from './rules/supplies.ts';
import { fillHasSwap, swapHasFill } from './rules/swaps.ts';
import { fillStartStaffed, techniciansEnough } from './rules/technicians.ts';
import {
  fillWindow,
  machineNoOverlap,
  rightLength,
  wholeMinutesStartBeforeEnd,
  withinHorizon,
  withinWindow,
} from './rules/times.ts';
import { waterCapacity, waterTested } from './rules/water.ts';
import type { AuditOptions, Checked, Rule, Verdict, Violation } from './verdict.ts';

const rule = (id: string, judge: Rule['judge'], counts: string, says: string): Rule => ({
  id,
  judge,
  counts,
  says,
});

/** All that makes a plan valid: the table of contents of the audit. Ids are also the names of the tests. */
export const RULES: readonly Rule[] = [
  rule(
    'known-kind',
    knownKind,
    'activities',
    'Every activity is a circuit change, bath change, fill, swap or test.',
  ),
  rule(
    'whole-minutes-start-before-end',
    wholeMinutesStartBeforeEnd,
    'activities',
    'Times are whole minutes; an activity starts before it ends.',
  ),
  rule('known-place', knownPlace, 'activities', 'Every machine and water source is in the scenario.'),
  rule('known-bath', knownBath, 'activities', 'Every bath is in the scenario.'),
  rule('within-horizon', withinHorizon, 'activities', 'Everything lies within the time that is planned.'),
  rule('within-window', withinWindow, 'activities', 'Machines work only while they are available.'),
  rule('machine-no-overlap', machineNoOverlap, 'activities', 'A machine does one thing at a time.'),
  rule(
    'right-length',
    rightLength,
    'activities',
    'Circuit change, bath change, swap and test take their set time.',
  ),
  rule(
    'fill-window',
    fillWindow,
    'fills',
    'A fill ends when its bags hold enough and before they hold too much.',
  ),
  rule('fill-start-staffed', fillStartStaffed, 'fills', 'A technician is on shift when a fill starts.'),
  rule('fill-has-swap', fillHasSwap, 'fills', 'Every fill is followed at once by one swap.'),
  rule('swap-has-fill', swapHasFill, 'swaps', 'Every swap follows a fill.'),
  rule(
    'circuit-in-place',
    circuitInPlace,
    'fills and bath changes',
    'Fills and bath changes find a circuit in place.',
  ),
  rule('bath-loaded', bathLoaded, 'fills', 'A fill is of the bath that runs.'),
  rule('bath-allowed', bathAllowed, 'activities', 'A machine runs only its own baths.'),
  rule(
    'circuit-life',
    circuitLife,
    'fills, bath changes and swaps',
    "Everything on a circuit ends within the circuit's life.",
  ),
  rule(
    'technicians-enough',
    techniciansEnough,
    'minutes',
    'There are hands for all that is done at one time.',
  ),
  rule(
    'water-capacity',
    waterCapacity,
    'activities',
    'The water drawn at one time fits what its source can give.',
  ),
  rule('water-tested', waterTested, 'activities', 'Water runs only on a test that still holds.'),
  rule('supplies-enough', suppliesEnough, 'uses', 'Nothing is used that is not there yet.'),
];

/**
 * Judges any plan, however made, by the planning rules, sections 3 and 4.
 * Times in minutes from the scenario's start. Never throws on a bad plan: what cannot be read is a violation.
 */
export function audit(
  problem: Problem,
  activities: readonly Activity[],
  { now = 0 }: AuditOptions = {},
): Verdict {
  const facts = factsOf(problem, activities);
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
  // A swap to come is not among these, but has to come.
  const rules = RULES.filter(({ id }) => id !== 'fill-has-swap');
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
