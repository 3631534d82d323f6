import { limitsOf } from '../fields.ts';
import { error, type Fault, type FaultRule, type Ground, outside, repeated, warning } from './fault.ts';

function* duplicateWater({ scenario }: Ground): Iterable<Fault> {
  yield* repeated('water', scenario.water, 'id');
}

/** A source that gives nothing at first may give water later, where a change says so. */
function* capacityOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const [i, row] of scenario.water.entries()) {
    const limits = limitsOf('water[].capacity');
    const changes = row.capacityChanges ?? [];
    yield* outside(['water', i, 'capacity'], row.capacity, { ...limits, aboveMin: changes.length === 0 });
    for (const [j, { capacity }] of changes.entries())
      yield* outside(
        ['water', i, 'capacityChanges', j, 'capacity'],
        capacity,
        limitsOf('water[].capacityChanges[].capacity'),
      );
  }
}

function* testTimesOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const [i, row] of scenario.water.entries()) {
    yield* outside(['water', i, 'testEvery'], row.testEvery, limitsOf('water[].testEvery'));
    yield* outside(['water', i, 'testMinutes'], row.testMinutes, limitsOf('water[].testMinutes'));
  }
}

/** A test that has not been made yet would let water run untested. */
function* lastTestInFuture({ scenario, minute }: Ground): Iterable<Fault> {
  for (const [i, row] of scenario.water.entries())
    if ((minute(row.lastTest) ?? 0) > 0)
      yield error(
        ['water', i, 'lastTest'],
        `Last test is ${row.lastTest}, after the plan's start`,
        `when the last test ended, at or before ${scenario.start}, or nothing`,
      );
}

function* unknownWater({ scenario }: Ground): Iterable<Fault> {
  const known = scenario.water.map((row) => row.id);
  for (const [i, row] of scenario.machines.entries())
    if (!known.includes(row.water))
      yield error(
        ['machines', i, 'water'],
        `water source "${row.water}" is not in the list of water sources`,
        known.length > 0 ? `one of ${known.join(', ')}` : 'list it in water',
      );
}

function* flowAboveWater({ scenario }: Ground): Iterable<Fault> {
  for (const [i, row] of scenario.machines.entries()) {
    const source = scenario.water.find((water) => water.id === row.water);
    if (!source) continue;
    const most = Math.max(source.capacity, ...(source.capacityChanges ?? []).map(({ capacity }) => capacity));
    if (row.flow > most)
      yield warning(
        ['machines', i, 'flow'],
        `Dialysate flow is ${row.flow} mL/min, more than ${source.id} gives (${most} mL/min)`,
        `at most ${most} mL/min; this machine can never run`,
      );
  }
}

export const WATER_RULES: Record<string, FaultRule> = {
  duplicateWater,
  capacityOutOfRange,
  testTimesOutOfRange,
  lastTestInFuture,
  unknownWater,
  flowAboveWater,
};
