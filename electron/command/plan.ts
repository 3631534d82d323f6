import { Command } from 'commander';
import { auditPlan } from '../../src/audit/audit.ts';
import type { Activity, Plan } from '../../src/plan/plan.ts';
import type { Progress } from '../../src/planner/planner.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import { countText, numberText } from '../../src/words/numbers.ts';
import { whenText } from '../../src/words/times.ts';
import { openBounds } from '../threads/boundsInThread.ts';
import { planWithRival } from '../threads/rivalInThread.ts';
import { loadScenario } from './input.ts';
import { carryOut, number, say, whole } from './options.ts';
import { bagsTable, CAUTIONS, needsTable, painter, runSheets, scoreTable } from './tables.ts';

interface Options {
  readonly json?: boolean;
  readonly seconds: number;
  readonly seed: number;
}

const written = (activity: Activity) =>
  activity.kind === 'duty'
    ? {
        kind: activity.kind,
        duty: activity.duty,
        at: activity.at,
        ...(activity.machine != null && { machine: activity.machine }),
        ...(activity.water != null && { water: activity.water }),
        start: activity.start,
        end: activity.end,
      }
    : activity.kind === 'test'
      ? { kind: activity.kind, water: activity.water, start: activity.start, end: activity.end }
      : {
          kind: activity.kind,
          machine: activity.machine,
          ...('bath' in activity && { bath: activity.bath }),
          start: activity.start,
          end: activity.end,
        };

/** The one object of `--json` (planning rules, section 5): minutes from the scenario's start. */
const planFile = (problem: Problem, { activities, needs, score, bound, seconds }: Plan) => ({
  format: 'bathtide-plan',
  version: 1,
  scenario: problem.title,
  activities: activities.map(written),
  needs: needs.map(({ bath, round, at, bags, litres, unmetLitres }) => ({
    bath,
    round,
    at,
    bags,
    litres,
    unmetLitres,
  })),
  score: {
    unmetLitres: score.unmetLitres,
    unmetLitreHours: score.unmetLitreHours,
    reserveShort: score.reserveShort,
    handsOnMinutes: score.handsOnMinutes,
    expiredBags: score.expiredBags,
  },
  bound: { unmetLitres: bound.unmetLitres, handsOnMinutes: bound.handsOnMinutes },
  seconds,
});

function planText(problem: Problem, plan: Plan, colour: boolean): string {
  const paint = painter(colour);
  const title = (text: string) => `\n${paint(['bold', 'underline'], text)}`;
  const unmet = plan.score.unmetLitres;
  const { clock, horizon, patients, machines } = problem;
  return [
    paint('bold', problem.title),
    `${whenText(clock, 0, true)} to ${whenText(clock, horizon, true)}, ${clock.timeZone}; ${countText(patients.length, 'patient')}, ${countText(machines.length, 'machine')}`,
    unmet > 1e-9
      ? paint(['red', 'bold'], `${numberText(unmet)} L of the need stay unmet: see the rounds marked short.`)
      : paint('green', 'Every need is met.'),
    title('Needs and what stays unmet'),
    needsTable(problem, plan, paint),
    title('Bags hung a day'),
    bagsTable(problem),
    title('Machine by machine'),
    runSheets(problem, plan, paint),
    title('How good the plan is'),
    scoreTable(plan, paint),
    ...(plan.remarks.length > 0 ? [title('Remarks'), ...plan.remarks.map((remark) => `- ${remark}`)] : []),
    title('Cautions'),
    ...CAUTIONS.map((caution) => `- ${caution}`),
    `\nPlanned in ${numberText(plan.seconds, 2)} s.`,
    '',
  ].join('\n');
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

async function run(file: string, { json, seconds, seed }: Options): Promise<void> {
  const { scenario, warnings } = loadScenario(file);
  for (const line of warnings) say(line);
  const problem = compile(scenario);
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
  const { ok, violations } = auditPlan(problem, plan);
  const colour = process.stdout.isTTY === true && !process.env.NO_COLOR;
  process.stdout.write(
    json ? `${JSON.stringify(planFile(problem, plan))}\n` : planText(problem, plan, colour),
  );
  if (ok) return;
  process.exitCode = 1;
  for (const { rule, message } of violations)
    say(`THE PLAN BREAKS A RULE, do not use it: ${rule}: ${message}`);
}

const command = new Command('plan')
  .description('Plans the fills of a scenario: what each machine does when, and what runs short.')
  .usage('FILE.json [--seconds S] [--seed N] [--json]')
  .argument('<file>', 'scenario file')
  .option('--seconds <S>', 'time for search and bounds together, s', number('seconds', 0.1, 86_400), 100)
  .option(
    '--seed <N>',
    'another one may find another plan as good',
    whole('a whole number', 0, 2 ** 31 - 1),
    1,
  )
  .option('--json', 'print the plan as one JSON object and nothing else')
  .exitOverride()
  .action(run);
await carryOut(() => command.parseAsync(process.argv), 'Planning');
