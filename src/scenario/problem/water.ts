import type { Clock } from '../../calendar/clock.ts';
import type { WaterRow } from '../schema.ts';
import type { WaterSource } from './types.ts';

/** Changes before the start apply from minute 0; the last in the list wins at equal times (V8). */
function capacitiesOf(row: WaterRow, clock: Clock): WaterSource['capacities'] {
  const steps = [{ from: 0, capacity: row.capacity }];
  const changes = (row.capacityChanges ?? [])
    .map(({ at, capacity }) => ({ at: clock.minuteOf(at), capacity }))
    .sort((a, b) => a.at - b.at);
  for (const { at, capacity } of changes) {
    const from = Math.max(0, at);
    if (steps.at(-1)!.from === from) steps.pop();
    steps.push({ from, capacity });
  }
  return steps;
}

export const waterOf = (row: WaterRow, clock: Clock): WaterSource => ({
  id: row.id,
  capacity: row.capacity,
  capacities: capacitiesOf(row, clock),
  testEvery: row.testEvery,
  testMinutes: row.testMinutes,
  lastTest: row.lastTest ? clock.minuteOf(row.lastTest) : null,
});

/** What a source gives in a minute from the scenario's start, mL/min. Before the start: what it gives at the start. */
export function capacityAt({ capacities }: Pick<WaterSource, 'capacities'>, minute: number): number {
  let { capacity } = capacities[0]!;
  for (const step of capacities) if (step.from <= minute) capacity = step.capacity;
  return capacity;
}
