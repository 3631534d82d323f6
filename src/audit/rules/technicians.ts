import { type Activity, isHandsOn, placeOf } from '../../plan/plan.ts';
import { counted, type Facts, nameOf } from '../facts.ts';
import { stretchesOver } from '../stretches.ts';
import type { Finding, Violation } from '../verdict.ts';

/** At every minute the hands-on activities under way are no more than the technicians on shift. */
export function techniciansEnough(facts: Facts): Finding {
  const { staff, horizon } = facts.problem;
  const handsOn = facts.sound.filter(isHandsOn);
  const change = new Int32Array(horizon + 1);
  for (const { start, end } of handsOn) {
    if (end <= 0 || start >= horizon) continue;
    change[Math.max(0, start)]! += 1;
    change[Math.min(horizon, end)]! -= 1;
  }
  let busy = 0;
  let count = 0;
  const atWork: number[] = [];
  const steps = Array.from(staff, (technicians, minute): [number, number] => {
    busy += change[minute]!;
    if (busy > 0) count += 1;
    atWork.push(busy);
    return [minute, busy - technicians];
  });
  const stretches = stretchesOver(steps, horizon);
  const atWorst = new Map<number, Activity[]>(stretches.map(({ worst }) => [worst, []]));
  if (atWorst.size > 0)
    for (const activity of handsOn)
      for (let t = Math.max(0, activity.start); t < Math.min(horizon, activity.end); t++)
        atWorst.get(t)?.push(activity);
  const violations = stretches.map(({ start, end, worst, over }): Violation => {
    const under = atWorst.get(worst)!;
    return {
      rule: 'technicians-enough',
      message: `From ${facts.at(start)} to ${facts.at(end)} hands are missing: at ${facts.at(worst)} ${counted(over, 'technician')} too few, ${atWork[worst]} at work (${under.map(nameOf).join('; ')}) with ${staff[worst]} on shift.`,
      start,
      end,
      place: under.map(placeOf).join(', '),
      amount: over,
      unit: 'technician',
    };
  });
  return { violations, count };
}

/** A fill starts at a minute at which a technician is on shift. */
export function fillStartStaffed(facts: Facts): Finding {
  const fills = facts.sound.filter((activity) => activity.kind === 'fill');
  const violations = fills
    .filter(({ start }) => !((facts.problem.staff[start] ?? 0) > 0))
    .map((fill) => ({
      rule: 'fill-start-staffed',
      message: `The ${nameOf(fill)} starts at ${facts.at(fill.start)}, when no technician is on shift.`,
      start: fill.start,
      end: fill.end,
      place: placeOf(fill),
      amount: 1,
      unit: 'technician',
    }));
  return { violations, count: fills.length };
}
