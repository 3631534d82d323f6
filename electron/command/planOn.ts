import { auditPlan } from '../../src/audit/audit.ts';
import type { Verdict } from '../../src/audit/verdict.ts';
import { roundBefore, startAt } from '../../src/record/from.ts';
import { stateFile } from '../../src/record/stateFile.ts';
import { verdictText } from '../../src/reports/audited.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { say } from './options.ts';
import { planFrom } from './planFrom.ts';
import { brokenRules, planFile, planText } from './planText.ts';
import { doubtLine, loadRecord, minuteNow } from './recordInput.ts';
import { stateTables } from './stateTables.ts';
import type { Paint } from './tables.ts';

interface Options {
  readonly now: string;
  readonly record: string | undefined;
  readonly seconds: number;
  readonly seed: number;
  readonly json: boolean;
  readonly paint: Paint;
}

/** Says it when a plan breaks a rule, and ends with status 1. */
export function tellBroken(problem: Problem, verdict: Verdict): void {
  if (verdict.ok) return;
  process.exitCode = 1;
  for (const line of [verdictText(problem.clock, verdict, problem.now), ...brokenRules(verdict)]) say(line);
}

/** Plans on from what the record leaves at a local time, and prints the state before the plan. */
export async function planOn(file: string, scenario: Scenario, options: Options): Promise<void> {
  const { now, record, seconds, seed, json, paint } = options;
  const minute = minuteNow(scenario, now);
  const { noted, warnings } = await loadRecord(file, scenario, record);
  const start = startAt(scenario, noted, minute);
  const { problem, state } = start;
  for (const line of [...warnings, ...state.doubts.map(doubtLine)]) say(line);
  const began = performance.now();
  const made = await planFrom(start, { seconds, seed, clock: () => performance.now() });
  const plan = { ...made, seconds: (performance.now() - began) / 1000 };
  if (json) for (const remark of plan.remarks) say(remark);
  const verdict = auditPlan(problem, plan, { now: minute });
  if (json) {
    const { needs, ...rest } = planFile(problem, plan, verdict);
    const numbered = needs.map((need) => ({ ...need, round: roundBefore(state, need.round) }));
    process.stdout.write(`${JSON.stringify({ ...rest, needs: numbered, ...stateFile(problem, state) })}\n`);
  } else
    process.stdout.write(
      [...stateTables(problem, state, paint), '', planText(problem, plan, verdict, paint)].join('\n'),
    );
  tellBroken(problem, verdict);
}
