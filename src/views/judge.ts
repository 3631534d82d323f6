import { type Demand, demandOf } from '../demand/demand.ts';
import { type Fault, faultsOf } from '../scenario/faults.ts';
import { compile, type Problem } from '../scenario/problem.ts';
import { shapeFaults } from '../scenario/read.ts';
import type { Scenario } from '../scenario/schema.ts';
import { pathText } from '../sheets/sheet.ts';
import { inSheetWords, typedFaults } from '../sheets/where.ts';

/** What a scenario means right now: its faults and, when none is an error, its problem and demand. */
export interface Judged {
  readonly faults: readonly Fault[];
  readonly problem: Problem | null;
  readonly demand: Demand | null;
}

/** Faults of a scenario that a person is typing: also one whose cells hold text where a number belongs. */
function allFaults(scenario: Scenario): Fault[] {
  const typed = typedFaults(scenario);
  const said = new Set(typed.map(({ path }) => pathText(path)));
  const shape = shapeFaults(scenario)
    .filter(({ path }) => !said.has(pathText(path)))
    .map((fault) => inSheetWords(scenario, fault));
  const first = [...typed, ...shape];
  return first.length > 0 ? first : faultsOf(scenario);
}

/** Runs on every keystroke; unchanged patients cost nothing (see `compile` and `demandOf`). */
export function judge(scenario: Scenario): Judged {
  const faults = allFaults(scenario);
  if (faults.some(({ level }) => level === 'error')) return { faults, problem: null, demand: null };
  const problem = compile(scenario);
  return { faults, problem, demand: demandOf(problem) };
}
