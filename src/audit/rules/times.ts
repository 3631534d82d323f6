import { type Activity, placeOf } from '../../plan/plan.ts';
import { counted, type Facts, hasSoundTimes, isKnownKind, lengthOf, nameOf } from '../facts.ts';
import type { Finding, Violation } from '../verdict.ts';

const finite = (minute: number) => (Number.isFinite(minute) ? minute : 0);

function fault(rule: string, facts: Facts, activity: Activity, wrong: string, amount: number): Violation {
  const { start, end } = activity;
  return {
    rule,
    message: `The ${nameOf(activity)}, ${facts.at(start)} to ${facts.at(end)}, ${wrong}.`,
    start,
    end,
    place: placeOf(activity) ?? '',
    amount,
    unit: 'min',
  };
}

/** Times are whole minutes and an activity starts before it ends. */
export function wholeMinutesStartBeforeEnd({ given }: Facts): Finding {
  const violations = given
    .map((activity, index) => ({ activity, index }))
    .filter(({ activity }) => isKnownKind(activity) && !hasSoundTimes(activity))
    .map(({ activity, index }) => ({
      rule: 'whole-minutes-start-before-end',
      message: `Activity ${index + 1}, ${nameOf(activity)}, starts at minute ${activity.start} and ends at minute ${activity.end}: both must be whole minutes, the start before the end.`,
      start: finite(activity.start),
      end: finite(activity.end),
      place: placeOf(activity) ?? '',
      amount: 1,
      unit: 'activity',
    }));
  return { violations, count: given.length };
}

/** Everything lies between the scenario's start and its horizon. */
export function withinHorizon(facts: Facts): Finding {
  const { horizon } = facts.problem;
  const violations = facts.sound
    .filter(({ start, end }) => start < 0 || end > horizon)
    .map((activity) => {
      const { start, end } = activity;
      const inside = Math.max(0, Math.min(end, horizon) - Math.max(start, 0));
      const outside = end - start - inside;
      const wrong = `lies ${counted(outside, 'minute')} outside the plan's time, ${facts.at(0)} to ${facts.at(horizon)}`;
      return fault('within-horizon', facts, activity, wrong, outside);
    });
  return { violations, count: facts.sound.length };
}

/** An activity on a machine lies inside one of its available windows; windows that touch are not merged. */
export function withinWindow(facts: Facts): Finding {
  const violations: Violation[] = [];
  facts.onMachine.forEach((activities, number) => {
    const { id, windows } = facts.problem.machines[number]!;
    for (const activity of activities) {
      const { start, end } = activity;
      const inside = Math.max(0, ...windows.map(({ from, to }) => Math.min(end, to) - Math.max(start, from)));
      const outside = end - start - inside;
      if (outside > 0)
        violations.push(
          fault(
            'within-window',
            facts,
            activity,
            `lies ${counted(outside, 'minute')} outside any one time that ${id} is available`,
            outside,
          ),
        );
    }
  });
  return { violations, count: facts.onMachine.flat().length };
}

/** A machine does one thing at a time. */
export function machineNoOverlap(facts: Facts): Finding {
  const violations: Violation[] = [];
  for (const activities of facts.onMachine) {
    let before = activities[0];
    for (const activity of activities.slice(1)) {
      const { start, end } = activity;
      const until = Math.min(before!.end, end);
      if (until > start)
        violations.push({
          rule: 'machine-no-overlap',
          message: `${activity.machine} would do two things at once from ${facts.at(start)} to ${facts.at(until)}: ${nameOf(before!)} and ${nameOf(activity)}.`,
          start,
          end: until,
          place: activity.machine,
          amount: until - start,
          unit: 'min',
        });
      if (end > before!.end) before = activity;
    }
  }
  return { violations, count: facts.onMachine.flat().length };
}

/** Circuit change, bath change, swap and test take exactly as long as the rules and the water source say. */
export function rightLength(facts: Facts): Finding {
  const { circuitMinutes, bathMinutes, swapMinutes } = facts.problem.rules;
  const wanted = (activity: Activity): number | undefined => {
    if (activity.kind === 'circuit') return circuitMinutes;
    if (activity.kind === 'bath') return bathMinutes;
    if (activity.kind === 'swap') return swapMinutes;
    return facts.source(activity)?.testMinutes;
  };
  const violations: Violation[] = [];
  const fixed = facts.sound.filter(({ kind }) => kind !== 'fill' && kind !== 'duty');
  for (const activity of fixed) {
    const minutes = wanted(activity);
    if (minutes === undefined || minutes === lengthOf(activity)) continue;
    const wrong = `takes ${counted(lengthOf(activity), 'minute')} instead of ${minutes}`;
    violations.push(fault('right-length', facts, activity, wrong, Math.abs(lengthOf(activity) - minutes)));
  }
  return { violations, count: fixed.length };
}

/** A fill lasts long enough to fill its bags and not so long that they overfill. */
export function fillWindow(facts: Facts): Finding {
  const violations: Violation[] = [];
  const fills = facts.sound.filter(({ kind }) => kind === 'fill');
  for (const fill of fills) {
    const machine = facts.machine(fill);
    if (!machine) continue;
    const minutes = lengthOf(fill);
    const over = minutes > machine.longest ? minutes - machine.longest : 0;
    const under = minutes < machine.shortest ? machine.shortest - minutes : 0;
    if (over === 0 && under === 0) continue;
    const what = under > 0 ? `${under} too few to fill` : `${over} too many, overfilling`;
    const wrong = `takes ${counted(minutes, 'minute')}, ${what} ${counted(machine.positions, 'bag')} (${machine.shortest} to ${machine.longest} minutes)`;
    violations.push(fault('fill-window', facts, fill, wrong, under || over));
  }
  return { violations, count: fills.length };
}
