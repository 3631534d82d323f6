import type { Clock } from '../../calendar/clock.ts';
import type { DutyRow, Scenario } from '../schema.ts';
import type { Duty, DutyPlace } from './types.ts';

/** Where a duty is done, by its place's name; null for none, and for a name that is neither or both (a fault). */
function dutyPlace(
  place: string | null | undefined,
  { machines, water }: Pick<Scenario, 'machines' | 'water'>,
): DutyPlace | null {
  if (place == null) return null;
  const machine = machines.findIndex(({ id }) => id === place);
  const source = water.findIndex(({ id }) => id === place);
  if (machine >= 0 === source >= 0) return null;
  return machine >= 0 ? { kind: 'machine', index: machine } : { kind: 'water', index: source };
}

/**
 * The minutes T at which a duty is due (M15): each of its times on each date of the plan, or on each of its dates. Left out
 * are those before the start and those that could end after the horizon; equal ones count once.
 */
export function occurrencesOf(
  row: Pick<DutyRow, 'times' | 'dates' | 'minutes' | 'slackMinutes'>,
  clock: Clock,
  horizon: number,
): number[] {
  const at = new Set<number>();
  for (const date of row.dates ?? clock.datesOf(0, horizon))
    for (const time of row.times) {
      const minute = clock.minuteOf(`${date}T${time}`);
      if (minute >= 0 && minute + (row.slackMinutes ?? 0) + row.minutes <= horizon) at.add(minute);
    }
  return [...at].sort((a, b) => a - b);
}

export const dutyOf = (row: DutyRow, scenario: Scenario, clock: Clock, horizon: number): Duty => ({
  id: row.id,
  place: dutyPlace(row.place, scenario),
  at: occurrencesOf(row, clock, horizon),
  minutes: row.minutes,
  slack: row.slackMinutes ?? 0,
  technicians: row.technicians ?? 0,
  flow: row.flow ?? 0,
  endsCircuit: row.endsCircuit ?? false,
  voidsTests: row.voidsTests ?? false,
});
