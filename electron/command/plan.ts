import { Command } from 'commander';
import { auditPlan } from '../../src/audit/audit.ts';
import { dutyFaultOf } from '../../src/planner/plan.ts';
import type { Progress } from '../../src/planner/planner.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { numberText } from '../../src/words/numbers.ts';
import { openBounds } from '../threads/boundsInThread.ts';
import { planWithRival } from '../threads/rivalInThread.ts';
import { InputError, loadScenario } from './input.ts';
import { carryOut, number, say, whole } from './options.ts';
import { planOn, tellBroken } from './planOn.ts';
import { planFile, planText } from './planText.ts';
import { painter } from './tables.ts';

interface Options {
  readonly json?: boolean;
  readonly seconds: number;
  readonly seed: number;
  /** Local time from which to plan on. */
  readonly now?: string;
  /** The record's folder; default: beside the file. */
  readonly record?: string;
}

function progressLine({ done, score }: Progress): void {
  const line = `${Math.round(100 * done)} %: ${numberText(score.unmetLitres)} L unmet, ${numberText(score.handsOnMinutes)} technician min`;
  process.stderr.write(`\r\u001B[2K${line}`);
}

/**
 * How a limit of time, s, is parted between search and bounds. The bounds take a second to begin: where a quarter of the
 * limit is less, it is all for the search but the moment it takes to end.
 */
function parts(seconds: number): { search: number; boundsAtOnce: boolean } {
  const bounds = seconds < 4 ? Math.min(0.15, seconds / 2) : seconds / 4;
  // With little time both cores are for the search first, and the bounds' thread starts after it.
  return { search: seconds - bounds, boundsAtOnce: seconds > 10 };
}

async function run(file: string, { json, seconds, seed, now, record }: Options): Promise<void> {
  const { scenario, warnings } = loadScenario(file);
  for (const line of warnings) say(line);
  const colour = process.stdout.isTTY === true && !process.env.NO_COLOR;
  if (now !== undefined)
    return planOn(file, scenario, {
      now,
      record,
      seconds,
      seed,
      json: json === true,
      paint: painter(colour),
    });
  if (record !== undefined)
    throw new InputError([
      '--record: no time is given. Expected: --now T too, the local time to plan on from',
    ]);
  const problem = compile(scenario);
  const unplaced = dutyFaultOf(problem);
  if (unplaced) throw new InputError([`${file}: duties: ${unplaced.message}`]);
  const showsProgress = process.stderr.isTTY;
  const began = performance.now();
  const elapsed = () => (performance.now() - began) / 1000;
  const { search, boundsAtOnce } = parts(seconds);
  const early = boundsAtOnce ? openBounds() : null;
  const made = await planWithRival(
    problem,
    { scenario, seed, seconds: search },
    showsProgress ? progressLine : undefined,
  );
  const { remarks, ...bound } = await (early ?? openBounds()).prove(
    scenario,
    made.score,
    seconds - elapsed(),
  );
  const plan = { ...made, bound, remarks: [...made.remarks, ...remarks], seconds: elapsed() };
  if (showsProgress) process.stderr.write('\r\u001B[2K');
  if (json) for (const remark of plan.remarks) say(remark);
  const verdict = auditPlan(problem, plan);
  process.stdout.write(
    json
      ? `${JSON.stringify(planFile(problem, plan, verdict))}\n`
      : planText(problem, plan, verdict, painter(colour)),
  );
  tellBroken(problem, verdict);
}

const command = new Command('plan')
  .description('Plans the fills of a scenario: what each machine does when, and what runs short.')
  .usage('FILE.json [--seconds S] [--seed N] [--now T [--record FOLDER]] [--json]')
  .argument('<file>', 'scenario file')
  .option('--seconds <S>', 'time for search and bounds together, s', number('seconds', 0.1, 86_400), 100)
  .option(
    '--seed <N>',
    'another one may find another plan as good',
    whole('a whole number', 0, 2 ** 31 - 1),
    1,
  )
  .option('--now <T>', 'plan on from this local time, by what the record says, e.g. 2031-02-03T11:00')
  .option('--record <FOLDER>', "the record's folder; default: beside the file, week.record for week.json")
  .option('--json', 'print the plan as one JSON object and nothing else')
  .exitOverride()
  .action(run);
await carryOut(() => command.parseAsync(process.argv), 'Planning');
