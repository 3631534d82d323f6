import { error, type Fault, type FaultRule, type Ground } from './fault.ts';

/** What an owner is, by the sheet of the rows that wait for one. */
const OWNERS = {
  changes: 'patient',
  hours: 'machine',
  capacityChanges: 'water source',
  supplyDeliveries: 'supply',
} as const;

/** A change that is nobody's must not pass for one that is planned with. */
function* rowOfNobody({ scenario }: Ground): Iterable<Fault> {
  for (const [sheet, owner] of Object.entries(OWNERS))
    for (const [i, row] of (scenario.unassigned?.[sheet as keyof typeof OWNERS] ?? []).entries())
      yield error(
        ['unassigned', sheet, i, 'owner'],
        `"${row.owner}" is no ${owner} yet, so this row is nobody's`,
        `the name of a ${owner} that is listed`,
      );
}

export const UNASSIGNED_RULES: Record<string, FaultRule> = { rowOfNobody };
