import { capacityFile } from '../../reports/capacityFile.ts';
import { capacityTables } from '../../reports/capacityTables.ts';
import type { NamedTable } from '../../reports/workbook.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { isStale } from './answersState.ts';
import { answersNow } from './useCapacity.ts';

/** The capacity answer of this moment as sheets of a workbook; none while there is no answer. */
export function capacitySheets(scenario: Scenario): NamedTable[] {
  const { study, compared, ordered, savings, heat, needs } = answersNow();
  if (!study) return [];
  const file = capacityFile({ study, compared: compared ?? [], ordered, seconds: 0 });
  return capacityTables(file, isStale({ study }, scenario), { savings, heat, needs });
}
