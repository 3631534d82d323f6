import { type Demand, demandOf } from '../../demand/demand.ts';
import { pathText } from '../../grid/sheet.ts';
import { inSheetWords, typedFaults } from '../../grid/where.ts';
import type { Fault } from '../../scenario/faults/faults.ts';
import { compile } from '../../scenario/problem/compile.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { allFaults } from '../../scenario/read.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { countText } from '../../words/numbers.ts';

/** What a scenario means right now: its faults and, when none is an error, its problem and demand. */
export interface Judged {
  readonly faults: readonly Fault[];
  readonly problem: Problem | null;
  readonly demand: Demand | null;
}

/**
 * Faults of a scenario that a person is typing, as many as the command line tells of its file; where a cell holds text
 * that it cannot take, in the cell's words.
 */
function faultsAsTyped(scenario: Scenario): Fault[] {
  const typed = new Map(typedFaults(scenario).map((fault) => [pathText(fault.path), fault]));
  const worded = (fault: Fault) => inSheetWords(scenario, fault);
  const all = allFaults(scenario, worded).map((fault) => {
    const inCell = typed.get(pathText(fault.path));
    typed.delete(pathText(fault.path));
    return inCell ?? fault;
  });
  // One cell may hold a list of times, each with a fault of its own.
  const told = ({ path }: Fault) =>
    all.some((fault) => pathText(fault.path).startsWith(`${pathText(path)}.`));
  return [...all, ...[...typed.values()].filter((fault) => !told(fault))];
}

/** Errors and warnings, each in their order. */
export const parted = (faults: readonly Fault[]) => ({
  errors: faults.filter(({ level }) => level === 'error'),
  warnings: faults.filter(({ level }) => level === 'warning'),
});

/** '4 errors to correct before planning, and 4 warnings.' */
export const toPutRight = (errors: number, warnings: number): string =>
  `${countText(errors, 'error')} to correct before planning${warnings > 0 ? `, and ${countText(warnings, 'warning')}` : ''}.`;

/** Runs on every keystroke; unchanged patients cost nothing (see `compile` and `demandOf`). */
export function judge(scenario: Scenario): Judged {
  const faults = faultsAsTyped(scenario);
  if (faults.some(({ level }) => level === 'error')) return { faults, problem: null, demand: null };
  const problem = compile(scenario);
  return { faults, problem, demand: demandOf(problem) };
}
